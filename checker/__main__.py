"""`python -m checker` does what `changeout` does, where the command is not on the path."""

from checker.cli import main

if __name__ == "__main__":
    main(prog_name="changeout")
