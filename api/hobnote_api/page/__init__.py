"""The review page: rendered here, with a little plain JavaScript on top of it."""
