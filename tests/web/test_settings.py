"""Settings from the environment, and the key that is made at the first run."""

import stat
from pathlib import Path

import pytest

from fieldlog import clock
from fieldlog.config import ROOT, Config
from fieldlog.model.identity import is_identity, made_at_ms


def test_without_any_settings_everything_has_a_default() -> None:
    config = Config.from_environment({})

    assert config == Config(
        data=ROOT / "var",
        database_url=f"sqlite:///{ROOT / 'var' / 'fieldlog.sqlite3'}",
        host="127.0.0.1",
        port=8000,
    )


def test_the_environment_decides(tmp_path: Path) -> None:
    config = Config.from_environment(
        {
            "FIELDLOG_DATA": str(tmp_path),
            "DATABASE_URL": "postgresql+psycopg://log@db/log",
            "HOST": "0.0.0.0",
            "PORT": "8080",
            "TRUSTED_HOSTS": "log.example, 192.0.2.1",
            "PROXY_HOPS": "1",
        }
    )

    assert (config.data, config.database_url) == (tmp_path, "postgresql+psycopg://log@db/log")
    assert (config.host, config.port, config.proxy_hops) == ("0.0.0.0", 8080, 1)
    assert config.trusted_hosts == ("log.example", "192.0.2.1")


def test_the_database_lies_in_the_data_folder(tmp_path: Path) -> None:
    config = Config.from_environment({"FIELDLOG_DATA": str(tmp_path)})

    assert config.database_url == f"sqlite:///{tmp_path / 'fieldlog.sqlite3'}"


@pytest.mark.parametrize("name", ["PORT", "PROXY_HOPS", "TRUST_PORT"])
@pytest.mark.parametrize("value", ["x", "-1", "1.5", "99999999"])
def test_a_number_that_is_none_stops_the_start_with_a_sentence(name: str, value: str) -> None:
    with pytest.raises(SystemExit, match=f"{name} is"):
        Config.from_environment({name: value})


def test_the_key_is_made_once_and_for_the_owners_eyes_only(tmp_path: Path) -> None:
    config = Config.from_environment({"FIELDLOG_DATA": str(tmp_path / "new")})

    first, second = config.secret(), config.secret()

    assert first == second and len(first) == 64
    assert stat.S_IMODE((tmp_path / "new" / "secret").stat().st_mode) == 0o600
    assert stat.S_IMODE((tmp_path / "new").stat().st_mode) == 0o700
    assert [path.name for path in (tmp_path / "new").iterdir()] == ["secret"]


def test_two_installations_have_two_keys(tmp_path: Path) -> None:
    keys = {Config.from_environment({"FIELDLOG_DATA": str(tmp_path / name)}).secret() for name in "ab"}

    assert len(keys) == 2


def test_new_ids_carry_the_time_and_never_repeat() -> None:
    before = int(clock.now().timestamp() * 1000)
    made = [clock.new_id() for _ in range(2000)]
    after = int(clock.now().timestamp() * 1000)

    assert all(is_identity(each) and before <= made_at_ms(each) <= after for each in made)
    assert len(set(made)) == len(made)
