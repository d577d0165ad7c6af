"""What the app answers for each address that a phone keeps, as nobody in particular gets it."""

from pathlib import Path

from flask import Flask

from fieldlog import shell
from fieldlog.web.use_cases import kept_pages


def shell_contents(app: Flask) -> dict[str, bytes]:
    """Give the content of each page and file that a phone keeps, by address."""
    return {address: _answer(app, address) for address in shell.addresses(_static_names(app), kept_pages())}


def _static_names(app: Flask) -> list[str]:
    folder = Path(str(app.static_folder))
    return [path.relative_to(folder).as_posix() for path in folder.rglob("*") if path.is_file()]


def _answer(app: Flask, address: str) -> bytes:
    with app.test_client().get(address) as answer:
        if answer.status_code != 200:
            raise RuntimeError(f"{address} answers {answer.status}; a phone could not keep it.")
        content: bytes = answer.data
        return content
