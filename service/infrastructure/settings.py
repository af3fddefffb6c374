"""Every setting of the service, in one frozen object that the composition roots read once.

Each field is set by ``PLUGWARD_`` and its name in capitals; ``DATA_DIR`` and ``PORT`` work bare as well.  A value
that breaks its rule stops the start with a message that names variable, value and rule; production also refuses
the defaults that only suit a demo.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import Field, dataclass, field, fields
from pathlib import Path
from typing import Any
from urllib.parse import urlsplit

PREFIX = "PLUGWARD_"
FAILPOINT_VARIABLE = "PLUGWARD_FAILPOINT"  # for tests only, read by failpoints.py
DEMO_SECRET_KEY = "demo-only-secret-key-that-production-refuses"  # noqa: S105 - refused in production
DEMO_MAIL_FROM = "Plugward <charging@demo.example>"
SECURITY_KINDS = ("none", "starttls", "tls")
LOG_LEVELS = ("DEBUG", "INFO", "WARNING", "ERROR")


class SettingsError(ValueError):
    """A setting breaks its rule; the message names the variable, the value (never a secret's) and the rule."""


def _setting(
    default: Any, meaning: str, *, minimum: int | None = None, bare: str | None = None, is_secret: bool = False
) -> Any:
    """Declare a field: its default, what it means (for .env.example) and what its number must reach."""
    metadata = {"meaning": meaning, "minimum": minimum, "bare": bare, "is_secret": is_secret}
    return field(default=default, metadata=metadata, repr=not is_secret)


@dataclass(frozen=True)
class Settings:
    """The settings; durations end in ``_s`` and are seconds."""

    database_url: str = _setting("", "SQLAlchemy address; empty: SQLite in the data folder", is_secret=True)
    data_dir: str = _setting("./.data", "Folder of the embedded database and of the demo's mail", bare="DATA_DIR")
    secret_key: str = _setting(DEMO_SECRET_KEY, "Derives Message-IDs; at least 32 characters", is_secret=True)
    is_production: bool = _setting(False, "true behind HTTPS with real people; refuses demo defaults")
    is_demo: bool = _setting(False, "true shows the demo's mail page; not together with production")
    base_url: str = _setting("", "Public address, used in e-mails and to tell our own pages; empty: localhost")
    port: int = _setting(8000, "Port of the web server", minimum=1, bare="PORT")
    smtp_host: str = _setting("localhost", "Mail server that takes our messages")
    smtp_port: int = _setting(8025, "Its port: 587 with starttls, 465 with tls", minimum=1)
    smtp_username: str = _setting("", "Empty: no login")
    smtp_password: str = _setting("", "Only with a user name, and only over starttls or tls", is_secret=True)
    smtp_security: str = _setting("none", "none, starttls or tls; production needs one of the latter two")
    smtp_timeout_s: int = _setting(30, "Longest that one message may take [s]", minimum=1)
    mail_from: str = _setting(DEMO_MAIL_FROM, "Sender of every message")
    mail_domain: str = _setting("demo.example", "Domain of Message-IDs")
    demo_mail_dir: str = _setting("", "Folder of the demo's mail sink; empty: 'mail' in the data folder")
    lease_s: int = _setting(60, "How long a worker holds a claimed row [s]", minimum=1)
    chunk_size: int = _setting(200, "Households replanned in one transaction", minimum=1)
    argon2_memory_kib: int = _setting(19456, "Memory of one password hash [KiB]; 19 MiB is OWASP's least", minimum=8)
    argon2_time_cost: int = _setting(2, "Passes of one password hash", minimum=1)
    argon2_parallelism: int = _setting(1, "Lanes of one password hash", minimum=1)
    trusted_proxies: int = _setting(0, "Proxies in front of the web server whose X-Forwarded-For counts", minimum=0)
    session_idle_s_administrator: int = _setting(1800, "Administrators, finance: unused sessions end [s]", minimum=60)
    session_idle_s_member: int = _setting(28800, "A member's session ends unused [s]", minimum=60)
    session_absolute_s: int = _setting(43200, "Every session ends, used or not [s]", minimum=60)
    log_level: str = _setting("INFO", "DEBUG, INFO, WARNING or ERROR")
    max_body_bytes: int = _setting(2_097_152, "Largest request body [bytes]", minimum=1024)
    max_upload_bytes: int = _setting(10_485_760, "Largest uploaded document or photo [bytes]", minimum=1024)
    files_dir: str = _setting("", "Folder of uploaded documents and photos; empty: 'files' in the data folder")

    def __post_init__(self) -> None:
        """Fill what depends on other fields, then check each rule."""
        derived = {
            "database_url": f"sqlite:///{Path(self.data_dir) / 'plugward.sqlite3'}",
            "base_url": f"http://localhost:{self.port}",
            "demo_mail_dir": str(Path(self.data_dir) / "mail"),
            "files_dir": str(Path(self.data_dir) / "files"),
        }
        for name, value in derived.items():
            if not getattr(self, name):
                object.__setattr__(self, name, value)
        _check_each(self)
        if self.is_production:
            _check_production(self)

    @classmethod
    def from_environment(cls, env: Mapping[str, str]) -> Settings:
        """Read the settings out of environment variables; an empty variable counts as not set."""
        found: dict[str, Any] = {}
        for setting in fields(cls):
            for variable in variables_of(setting):
                if text := env.get(variable, "").strip():
                    found[setting.name] = _parse(setting, variable, text)
                    break
        settings = cls(**found)
        if settings.is_production and env.get(FAILPOINT_VARIABLE):
            raise SettingsError(f"{FAILPOINT_VARIABLE} must not be set in production: it kills the process on purpose")
        return settings


def variable_of(name: str) -> str:
    """Return the environment variable of a field."""
    return PREFIX + name.upper()


def variables_of(setting: Field[Any]) -> list[str]:
    """Return the variables that set a field, the one that counts most first."""
    bare = setting.metadata["bare"]
    return [variable_of(setting.name)] + ([bare] if bare else [])


def _parse(setting: Field[Any], variable: str, text: str) -> Any:
    if isinstance(setting.default, bool):
        words = {"true": True, "1": True, "yes": True, "false": False, "0": False, "no": False}
        if text.lower() not in words:
            raise SettingsError(f"{variable}={text!r} must be true or false")
        return words[text.lower()]
    if isinstance(setting.default, int):
        if not re.fullmatch(r"[0-9]{1,12}", text):
            raise SettingsError(f"{variable}={text!r} must be a whole number")
        return int(text)
    return text


def _refuse(settings: Settings, name: str, rule: str) -> None:
    is_secret = next(each for each in fields(settings) if each.name == name).metadata["is_secret"]
    value = "(not shown)" if is_secret else repr(getattr(settings, name))
    raise SettingsError(f"{variable_of(name)}={value} {rule}")


def _check_each(settings: Settings) -> None:
    for setting in fields(settings):
        minimum = setting.metadata["minimum"]
        if minimum is not None and getattr(settings, setting.name) < minimum:
            _refuse(settings, setting.name, f"must be at least {minimum}")
    rules: list[tuple[str, Callable[[Any], bool], str]] = [
        ("port", lambda port: port <= 65535, "must be at most 65535"),
        ("smtp_port", lambda port: port <= 65535, "must be at most 65535"),
        ("smtp_security", lambda kind: kind in SECURITY_KINDS, "must be one of " + ", ".join(SECURITY_KINDS)),
        ("log_level", lambda level: level in LOG_LEVELS, "must be one of " + ", ".join(LOG_LEVELS)),
        ("base_url", _is_web_address, "must be http:// or https:// and a host, without path, query or user"),
        ("mail_domain", lambda domain: bool(_DOMAIN.fullmatch(domain)), "must be a domain name"),
        ("mail_from", lambda text: bool(_SENDER.fullmatch(text)), "must be an address, or a name and <address>"),
        ("database_url", lambda url: "://" in url, "must be a database address"),
        ("secret_key", lambda key: len(key) >= 32, "must have at least 32 characters"),
    ]
    for name, is_kept, rule in rules:
        if not is_kept(getattr(settings, name)):
            _refuse(settings, name, rule)
    if settings.smtp_username and settings.smtp_security == "none":
        _refuse(settings, "smtp_username", "must not be sent without starttls or tls")
    if bool(settings.smtp_username) != bool(settings.smtp_password):
        _refuse(settings, "smtp_username", f"must come together with {variable_of('smtp_password')}")
    if settings.is_demo and settings.is_production:
        _refuse(settings, "is_demo", "must not be true in production")


def _check_production(settings: Settings) -> None:
    """Refuse what would be unsafe or useless with real people."""
    if settings.secret_key == DEMO_SECRET_KEY:
        _refuse(settings, "secret_key", "is the demo's; production needs a secret of its own")
    if not settings.base_url.startswith("https://"):
        _refuse(settings, "base_url", "must be https:// in production")
    if settings.smtp_host == "localhost" and settings.smtp_port == 8025:
        _refuse(settings, "smtp_host", "is the demo's sink; production must name a mail server")
    if settings.smtp_security == "none" and settings.smtp_host not in ("localhost", "127.0.0.1", "::1"):
        _refuse(settings, "smtp_security", "must be starttls or tls in production, unless the relay is on this host")
    for name in ("mail_from", "mail_domain"):
        if "demo.example" in getattr(settings, name):
            _refuse(settings, name, "is the demo's; production must name its own")


_DOMAIN = re.compile(r"[A-Za-z0-9](?:[A-Za-z0-9.-]{0,251}[A-Za-z0-9])?")
_ADDRESS = r"[A-Za-z0-9.!#$%&'*+/=?^_`{|}~-]{1,64}@[A-Za-z0-9](?:[A-Za-z0-9.-]{0,251}[A-Za-z0-9])?"
_SENDER = re.compile(rf"(?:{_ADDRESS}|[^\x00-\x1f<>@\"]{{1,100}} <{_ADDRESS}>)")


def _is_web_address(url: str) -> bool:
    try:
        parts = urlsplit(url)
        parts.port  # noqa: B018 - raises where the port is not a number
    except ValueError:
        return False
    return (
        parts.scheme in ("http", "https")
        and bool(parts.hostname)
        and parts.path in ("", "/")
        and not (parts.query or parts.fragment or "@" in parts.netloc)
    )
