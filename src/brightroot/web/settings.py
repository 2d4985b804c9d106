"""How one person wants to see things: language, units, theme, hand and stamp, kept in one cookie of their browser."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import asdict, dataclass
from urllib.parse import parse_qsl, urlencode

COOKIE = "brightroot"
YEAR_S = 365 * 86400
CHOICES: dict[str, tuple[str, ...]] = {
    "theme": ("hall", "hood", "sun"),
    "units": ("metric", "us"),
    "language": ("en", "es"),
    "hand": ("right", "left"),
}
STAMP_LENGTH = 40


@dataclass(frozen=True, slots=True)
class Settings:
    """None of these is part of the evidence: they change how a number is shown, never what is stored."""

    theme: str = "hall"
    units: str = "metric"
    language: str = "en"
    hand: str = "right"
    stamp: str = ""


def settings_of(cookie: str, *, accept_language: str = "", by: str = "") -> Settings:
    """The settings in a cookie. What is missing or unknown is the default; the language then the browser's own.

    >>> settings_of("units=us&theme=neon", accept_language="es-MX,es;q=0.9")
    Settings(theme='hall', units='us', language='es', hand='right', stamp='')
    """
    first = accept_language.split(",")[0].split("-")[0].strip().lower()
    start = Settings(language=first if first in CHOICES["language"] else "en", stamp=by)
    return changed(start, dict(parse_qsl(cookie)))


def changed(settings: Settings, typed: Mapping[str, str]) -> Settings:
    """The settings with those typed values that are among the choices."""
    told = asdict(settings)
    told |= {name: typed[name] for name, choices in CHOICES.items() if typed.get(name) in choices}
    if typed.get("stamp") is not None:
        told["stamp"] = " ".join(typed["stamp"].split())[:STAMP_LENGTH]
    return Settings(**told)


def cookie_of(settings: Settings) -> str:
    """The settings as the text of their cookie.

    >>> cookie_of(Settings(stamp="W-07"))
    'theme=hall&units=metric&language=en&hand=right&stamp=W-07'
    """
    return urlencode(asdict(settings))
