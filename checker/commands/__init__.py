"""One module a command, read only when the command is used.

`options`, `inputs`, `output`, `errors` and `partial_file` are what commands share. This room is the door of click.
"""
