"""The few errors this project raises; each builds its own sentence."""

from collections.abc import Sequence

from fieldlog.model.problem import Problem


class FieldlogError(Exception):
    """The request cannot be served; the message says why and what to do."""


class BadInput(FieldlogError):
    """The input has problems; every one of them is listed."""

    def __init__(self, problems: Sequence[Problem]) -> None:
        self.problems = tuple(problems)
        super().__init__("; ".join(f"{p.at or 'input'}: {p.problem}" for p in self.problems))


class RulebookDamaged(FieldlogError):
    """The rulebook cannot be trusted, so nothing is judged."""

    def __init__(self, reason: str) -> None:
        super().__init__(
            f"The rulebook cannot be used: {reason} No verdict is given. Restore schemas/rulebook.json."
        )


class TablesDamaged(FieldlogError):
    """A table of the code cannot be read, so nothing is judged by it."""

    def __init__(self, name: str, reason: str) -> None:
        super().__init__(
            f"The table {name} cannot be used ({reason}). Nothing is judged. Restore schemas/{name}."
        )


class NotFound(FieldlogError):
    """There is no such thing, or it belongs to someone else."""

    def __init__(self, what: str) -> None:
        super().__init__(
            f"There is no such {what} here. Check the address, or sign in to the account that holds it."
        )


class SignInNeeded(FieldlogError):
    """The request needs a signed-in account."""

    def __init__(self) -> None:
        super().__init__("Sign in first; nothing was changed.")


class OtherAccount(FieldlogError):
    """Records of one account were sent, or asked for, while another one is signed in."""

    def __init__(self) -> None:
        super().__init__(
            "Another account is signed in now; nothing was kept. Sign in to the one they belong to."
        )


class LinkSpent(FieldlogError):
    """The one-time link for the first account no longer opens anything."""

    def __init__(self) -> None:
        super().__init__(
            "This link has been used, is more than a day old, or was not copied whole. "
            "If there is an account, sign in with it; otherwise run deploy/start again and open the new link."
        )


class TooManyTries(FieldlogError):
    """Tries at a password failed; the next one has to wait for some seconds."""

    def __init__(self, wait_s: int) -> None:
        self.wait_s = wait_s
        super().__init__(
            f"Wrong passwords came before, so this one was not looked at. Wait {wait_s} s, then try again."
        )


class AskedTooOften(FieldlogError):
    """Something that opens without an account was asked for too often; the next time has to wait."""

    def __init__(self, wait_s: int) -> None:
        self.wait_s = wait_s
        super().__init__(f"This was asked for too often. Wait {wait_s} s, then open it again.")


class ForeignRequest(FieldlogError):
    """A request that changes something does not show that it comes from a page of this site."""

    def __init__(self) -> None:
        super().__init__(
            "This request did not come from a page of this site; nothing was changed. "
            "Send the header Sec-Fetch-Site: same-origin, or an Origin equal to this address."
        )


class NotJson(FieldlogError):
    """The body is not declared as JSON."""

    def __init__(self) -> None:
        super().__init__("Send the body as JSON, with the header Content-Type: application/json.")


class StoreUnavailable(FieldlogError):
    """The database did not take or give what was asked; nothing was changed."""

    def __init__(self, reason: str) -> None:
        super().__init__(
            f"The database does not answer ({reason}); nothing was changed. Keep the page and try again."
        )


class LogDamaged(FieldlogError):
    """A log is not what was written, so nothing is handed out as if it were."""

    def __init__(self, log: str, position: int, what: str) -> None:
        super().__init__(
            f"The log {log} does not hold at its entry {position} ({what}): something else changed the file, "
            "or the disk failed. Nothing is handed out from it. Ask fieldlog verify --log, and put the "
            "last whole backup back; phones send again what they hold."
        )


class NoRoom(FieldlogError):
    """The server has no room for what was sent; nothing of it was taken, and nothing is wrong with it."""

    def __init__(self, reason: str, to_do: str) -> None:
        super().__init__(
            f"{reason} Nothing of this was taken; what a phone holds stays there and goes by itself later. "
            f"Whoever runs the server can {to_do}."
        )


class JoiningFailed(FieldlogError):
    """What every page needs could not be joined into few files."""

    def __init__(self, reason: str) -> None:
        super().__init__(
            f"The modules and sheets could not be joined: {reason} "
            "If a tool of it or Node is missing, run deploy/check house, which installs them."
        )
