"""One module a command, read only when the command is used. What they share stands in `shared`."""
