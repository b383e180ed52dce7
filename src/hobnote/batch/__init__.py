"""Many notes at once: files, folders, archives and streams in, records out, on every core.

    notes_of(paths)                 what there is to read, one note at a time
    Pool(jobs).read(notes)          read on several processes; a bad note stops nothing
    open_sink(where)                a folder, an NDJSON or Parquet file, or the store
    Journal                         what is done already, so that a killed run goes on

At the edge of the house, like ``cli.py``: it opens files and starts processes.
"""
