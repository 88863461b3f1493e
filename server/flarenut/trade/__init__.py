"""The trade's numbers and decisions, the same files on the server and on the phone."""
