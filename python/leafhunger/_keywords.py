"""What the engine refuses it names as the command does; here the same is named as the arguments of a call are."""
import contextlib
import re
from collections.abc import Iterator

from . import _engine
from .errors import InputError

# The command's word and the call's, where they are not the same.
_TOPUP = {"--material": "material", "--plantings": "plantings", "--intervals": "intervals_d", "--doses": "doses_g_per_plant", "--first-after": "first_after_d",
          "--until": "until", "--years": "years", "--leached-at-most": "leached_at_most_g_n_m2", "`leafhunger list materials`": "garden.materials"}
_REPORT = {"--out": "folder", "add --force": "give force=True"}
_ENOUGH = {"multiples": "doses", "0.5,1,1.5,2,3": "doses=[0.5, 1, 1.5, 2, 3]"}
_TODAY = {"--on": "on"}


@contextlib.contextmanager
def _named(words: dict[str, str]) -> Iterator[None]:
    # A longer word first; none inside another word. What was found is the caller's own and stays as it is.
    any_of = re.compile("|".join(rf"(?<![\w-]){re.escape(word)}(?![\w-])" for word in sorted(words, key=len, reverse=True)))

    def said(text: str) -> str:
        return any_of.sub(lambda match: words[match[0]], text)

    try:
        yield
    except InputError as e:
        place, hint = said(e.place), said(e.hint)
        if (place, hint) == (e.place, e.hint):
            raise
        sentence = _engine.sentence(place, e.found, e.allowed, hint, e.file)
        raise InputError(sentence, file=e.file, place=place, found=e.found, allowed=e.allowed, hint=hint) from None


def of_topup() -> contextlib.AbstractContextManager[None]:
    return _named(_TOPUP)


def of_report() -> contextlib.AbstractContextManager[None]:
    return _named(_REPORT)


def of_enough() -> contextlib.AbstractContextManager[None]:
    return _named(_ENOUGH)


def of_today() -> contextlib.AbstractContextManager[None]:
    return _named(_TODAY)
