"""The commands that write to the database: its tables, accounts, the invented rig."""

import secrets
import sys
from typing import Any

import click

from fieldlog import clock, rulebook
from fieldlog.cli.opening import opened_store, or_stop
from fieldlog.config import Config
from fieldlog.errors import BadInput
from fieldlog.model.account import DEMO_NAME


@click.command()
def migrate() -> None:
    """Make the database, or bring it to this version."""
    opened_store().close()
    click.echo("The database is up to date.")


@click.group()
def user() -> None:
    """Accounts."""


@user.command(name="add")
@click.argument("name")
def add_user(name: str) -> None:
    """Make an account; its password is read from standard input."""
    if sys.stdin.isatty():
        password = click.prompt("Password", hide_input=True, confirmation_prompt=True)
    else:
        password = sys.stdin.readline().rstrip("\r\n")
    or_stop(lambda: _create_account(name, password))
    click.echo(f"The account {name} is made.")


@click.command()
def demo() -> None:
    """Load the invented rig with a month of invented records, under an account of its own."""
    from fieldlog.store.accounts import accounts_by_name

    store = opened_store()
    with store.reading() as tx:
        is_loaded = any(account.name == DEMO_NAME for account in accounts_by_name(tx))
    if is_loaded:
        click.echo("The invented rig is there already.")
        return
    password = secrets.token_urlsafe(12)
    count = or_stop(lambda: _load_demo(password))
    click.echo(f"An invented rig with {count} invented records is loaded.")
    click.echo(f"Sign in as: {DEMO_NAME}\nPassword:   {password}")


COMMANDS = (migrate, user, demo)


def _create_account(name: str, password: str) -> Any:
    from fieldlog.web.people.accounts import create_account

    return create_account(opened_store(), name, password, now=clock.now, new_id=clock.new_id)


def _load_demo(password: str) -> int:
    from fieldlog.sync.demo import demo_records
    from fieldlog.sync.inbox import Inbox

    account = _create_account(DEMO_NAME, password)
    inbox = Inbox(opened_store(), rulebook.load(), account, Config.from_environment().bounds)
    receipts = inbox.receive(demo_records(clock.now()), clock.now())
    refused = [problem for receipt in receipts for problem in receipt.problems]
    if refused:
        raise BadInput(refused)
    return len(receipts)
