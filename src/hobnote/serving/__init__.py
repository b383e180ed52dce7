"""Starting the service of ``api/``, and the tokens that let others in."""
