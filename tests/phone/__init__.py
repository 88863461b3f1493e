"""Browser stories: the built phone app against the real server, offline by stopping the server."""
