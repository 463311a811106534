"""What can go wrong. Who must act tells them apart: you (InputError), a plugin's author (PluginError), us (SolverError, LedgerError)."""


class Error(Exception):
    """Base of everything that leafhunger raises on purpose. `str(error)` is one sentence."""


class InputError(Error, ValueError):
    """Something in what you gave is wrong. The sentence is made of its parts; those that do not apply are empty.

    Attributes:
        file: path as you wrote it.
        place: "line 12, /beds/0/area_m2", or the name of an argument.
        found: what stands there.
        allowed: what may stand there.
        hint: how to mend it.
    """

    def __init__(self, sentence: str, *, file: str = "", place: str = "", found: str = "", allowed: str = "", hint: str = "") -> None:
        super().__init__(sentence)
        self.file, self.place, self.found, self.allowed, self.hint = file, place, found, allowed, hint


class PluginError(Error):
    """A plugin could not be loaded or broke its contract. `at_load` tells which."""

    def __init__(self, sentence: str, *, at_load: bool = False) -> None:
        super().__init__(sentence)
        self.at_load = at_load


class SolverError(Error):
    """The integration failed. Please report it with the scenario."""


class LedgerError(Error):
    """Nitrogen went missing: a bug of ours or of a plugin. Please report it with the scenario."""
