"""Settings: read once, refused by name, and listed in full in .env.example."""

import dataclasses
import re
import shlex
from pathlib import Path

import pytest

from service.infrastructure.settings import DEMO_SECRET_KEY, Settings, SettingsError, variable_of, variables_of

ROOT = Path(__file__).parents[3]
PRODUCTION = {
    "PLUGWARD_IS_PRODUCTION": "true",
    "PLUGWARD_SECRET_KEY": "k" * 40,
    "PLUGWARD_BASE_URL": "https://charging.scheme.example",
    "PLUGWARD_SMTP_HOST": "mail.scheme.example",
    "PLUGWARD_SMTP_PORT": "587",
    "PLUGWARD_SMTP_SECURITY": "starttls",
    "PLUGWARD_MAIL_FROM": "Charging <charging@scheme.example>",
    "PLUGWARD_MAIL_DOMAIN": "scheme.example",
}


def example_lines() -> dict[str, str]:
    found = {}
    for line in (ROOT / ".env.example").read_text().splitlines():
        if line and not line.startswith("#"):
            name, value = line.split("=", 1)
            found[name] = "".join(shlex.split(value))
    return found


def test_the_example_file_lists_every_setting_with_its_default_and_nothing_else() -> None:
    expected = {}
    for field in dataclasses.fields(Settings):
        default = field.default
        expected[variable_of(field.name)] = str(default).lower() if isinstance(default, bool) else str(default)
    assert example_lines() == expected


def test_the_example_file_says_what_each_setting_means() -> None:
    text = (ROOT / ".env.example").read_text()
    for field in dataclasses.fields(Settings):
        assert f"# {field.metadata['meaning']}." in text, field.name


def test_the_example_file_read_as_an_environment_gives_the_defaults() -> None:
    assert Settings.from_environment(example_lines()) == Settings()


def test_what_depends_on_other_settings_follows_them() -> None:
    settings = Settings.from_environment({"DATA_DIR": "/srv/plugward", "PORT": "9000"})
    assert settings.database_url == "sqlite:////srv/plugward/plugward.sqlite3"
    assert settings.demo_mail_dir == "/srv/plugward/mail"
    assert settings.base_url == "http://localhost:9000"


def test_a_prefixed_name_counts_more_than_the_bare_one() -> None:
    assert Settings.from_environment({"PLUGWARD_PORT": "8001", "PORT": "9000"}).port == 8001


def test_settings_cannot_be_changed() -> None:
    with pytest.raises(dataclasses.FrozenInstanceError):
        Settings().port = 1  # type: ignore[misc]


@pytest.mark.parametrize(
    ("variable", "value", "rule"),
    [
        ("PLUGWARD_PORT", "eighty", "whole number"),
        ("PLUGWARD_PORT", "-1", "whole number"),
        ("PLUGWARD_PORT", "70000", "at most 65535"),
        ("PLUGWARD_LEASE_S", "0", "at least 1"),
        ("PLUGWARD_IS_DEMO", "perhaps", "true or false"),
        ("PLUGWARD_SMTP_SECURITY", "ssl", "one of none, starttls, tls"),
        ("PLUGWARD_LOG_LEVEL", "LOUD", "one of DEBUG"),
        ("PLUGWARD_BASE_URL", "localhost:8000", "http:// or https://"),
        ("PLUGWARD_BASE_URL", "https://a.example/path", "without path"),
        ("PLUGWARD_BASE_URL", "https://me@a.example", "without path, query or user"),
        ("PLUGWARD_BASE_URL", "https://a.example:port", "http:// or https://"),
        ("PLUGWARD_MAIL_FROM", "nobody", "an address"),
        ("PLUGWARD_MAIL_FROM", "A <a@b.example>\nBcc: c@d.example", "an address"),
        ("PLUGWARD_MAIL_DOMAIN", "a b", "a domain name"),
        ("PLUGWARD_ARGON2_MEMORY_KIB", "7", "at least 8"),
    ],
)
def test_a_bad_value_is_refused_with_variable_value_and_rule(variable: str, value: str, rule: str) -> None:
    with pytest.raises(SettingsError) as refusal:
        Settings.from_environment({variable: value})
    message = str(refusal.value)
    assert variable in message
    assert repr(value) in message or f"={value}" in message
    assert rule in message


def test_a_short_secret_is_refused_without_being_shown() -> None:
    with pytest.raises(SettingsError, match="PLUGWARD_SECRET_KEY") as refusal:
        Settings.from_environment({"PLUGWARD_SECRET_KEY": "short-secret"})
    assert "short-secret" not in str(refusal.value)


def test_secrets_do_not_appear_where_the_settings_are_printed() -> None:
    settings = Settings(secret_key="s" * 40, database_url="postgresql://me:hush@db/plugward")
    assert "s" * 40 not in repr(settings)
    assert "hush" not in repr(settings)


def test_a_password_never_goes_over_an_open_connection() -> None:
    with pytest.raises(SettingsError, match="PLUGWARD_SMTP_USERNAME"):
        Settings(smtp_username="me", smtp_password="pass")
    assert Settings(smtp_username="me", smtp_password="pass", smtp_security="tls").smtp_username == "me"


def test_production_starts_with_settings_of_its_own() -> None:
    assert Settings.from_environment(PRODUCTION).is_production


@pytest.mark.parametrize(
    ("variable", "value"),
    [
        ("PLUGWARD_SECRET_KEY", DEMO_SECRET_KEY),
        ("PLUGWARD_SECRET_KEY", ""),
        ("PLUGWARD_BASE_URL", "http://charging.scheme.example"),
        ("PLUGWARD_BASE_URL", ""),
        ("PLUGWARD_SMTP_SECURITY", "none"),
        ("PLUGWARD_MAIL_FROM", ""),
        ("PLUGWARD_MAIL_DOMAIN", ""),
        ("PLUGWARD_IS_DEMO", "true"),
        ("PLUGWARD_FAILPOINT", "chunk.claimed:1"),
    ],
)
def test_production_refuses_what_only_suits_a_demo(variable: str, value: str) -> None:
    with pytest.raises(SettingsError, match=variable):
        Settings.from_environment({**PRODUCTION, variable: value})


def test_production_refuses_the_demo_sink_as_its_mail_server() -> None:
    env = {name: value for name, value in PRODUCTION.items() if not re.search("SMTP_(HOST|PORT)", name)}
    with pytest.raises(SettingsError, match="PLUGWARD_SMTP_HOST"):
        Settings.from_environment(env)


def test_only_data_dir_and_port_are_read_without_the_prefix() -> None:
    bare = [names[1] for names in map(variables_of, dataclasses.fields(Settings)) if len(names) > 1]
    assert bare == ["DATA_DIR", "PORT"]
