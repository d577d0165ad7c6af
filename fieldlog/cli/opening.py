"""What every command shares: opening the database, the address phones use, and stopping with a sentence."""

from collections.abc import Callable
from pathlib import Path
from typing import Any

import click

from fieldlog.config import Config
from fieldlog.errors import BadInput, FieldlogError
from fieldlog.model.account import Account


def or_stop(act: Callable[[], Any]) -> Any:
    """Do it; what is wrong with the input or the set-up becomes a sentence and exit status 1."""
    try:
        return act()
    except BadInput as bad:
        raise click.ClickException(" ".join(problem.problem for problem in bad.problems)) from bad
    except FieldlogError as error:
        raise click.ClickException(str(error)) from error


def opened_store() -> Any:
    """Open the database of this machine, brought to this version."""
    from fieldlog.app import open_current_store

    config = Config.from_environment()
    data_folder(config)
    return or_stop(lambda: open_current_store(config))


def base_address(config: Config) -> str:
    """Give what the app's addresses start with."""
    from fieldlog.web.trust.root import read_root

    scheme, host = "http", "127.0.0.1" if config.host in ("0.0.0.0", "::") else config.host
    root = read_root(config.home) if config.trust_port else None
    if root is not None:
        scheme, host = "https", (*root.addresses, *root.names)[0]
    return f"{scheme}://[{host}]:{config.port}" if ":" in host else f"{scheme}://{host}:{config.port}"


def data_folder(config: Config) -> Path:
    """Give the folder of all that is kept, made when missing."""
    config.data.mkdir(mode=0o700, parents=True, exist_ok=True)
    return config.data


def account_named(store: Any, name: str) -> Account:
    """Give the account of this name, or stop."""
    from fieldlog.store.accounts import credentials_of
    from fieldlog.web.people.accounts import name_key

    with store.reading() as tx:
        found = credentials_of(tx, name_key(name))
    if found is None:
        raise click.ClickException(f"There is no account {name}; fieldlog user add makes one.")
    return found.account
