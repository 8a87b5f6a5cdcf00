"""What a person did wrong, in one sentence."""


class UserError(Exception):
    """Bad input: told in one line, nothing written. Exit status 2."""


class NothingToDo(Exception):
    """There is nothing to work on. Exit status 1."""
