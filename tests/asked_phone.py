"""What a test asks of a phone's own modules, whether they run in Node or in a browser."""

from typing import Any


class AskedPhone:
    """A phone that runs texts of script which know its modules by name."""

    def ask(self, body: str, given: Any = None) -> Any:
        """Run a text of script that knows the modules by name, and give what it returns."""
        raise NotImplementedError

    def keep(self, *records: dict[str, Any]) -> None:
        """Keep records, one after another."""
        self.ask("for (const record of given) await queue.keep(record);", list(records))

    def sync(self) -> None:
        """Meet the server once."""
        self.ask("await flush.sync();")

    def saved(self) -> dict[str, int]:
        """Count the rows that the person at the phone sees, by where they are saved."""
        counts: dict[str, int] = {}
        for where in self.ask("return (await queue.allRows()).map(({ saved }) => saved);"):
            counts[where] = counts.get(where, 0) + 1
        return counts

    def row(self, identity: str) -> dict[str, Any]:
        """Give one row."""
        found: dict[str, Any] = self.ask("return queue.rowOf(given);", identity)
        return found
