"""The one base of errors that are the input's fault, not a bug."""


class InputProblem(ValueError):  # noqa: N818 (it is shown to people, who have problems)
    """What was given cannot be used. The message says what, why and what to do next.

    The command line shows it without a traceback; every other exception is a bug and keeps its.
    """
