"""What is wrong with an input, and where."""

from dataclasses import dataclass


@dataclass(frozen=True)
class Problem:
    """One thing wrong with an input.

    Parameters
    ----------
    at : str
        JSON pointer (RFC 6901) to the member, "" for the whole input.
    problem : str
        A sentence that says what is wrong and what to do.
    """

    at: str
    problem: str

    def as_json(self) -> dict[str, str]:
        """Give the problem as a JSON object."""
        return {"at": self.at, "problem": self.problem}
