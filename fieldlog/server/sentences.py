"""What is said to who sends too slowly, or when there are too many at once."""

import json
from dataclasses import dataclass
from typing import Final


@dataclass(frozen=True)
class Refusal:
    """An answer that the app has no part in."""

    status: str
    sentence: str
    retry_after_s: int | None = None

    def text(self, path: str) -> bytes:
        """Give the whole answer, in the form that its address answers in."""
        is_json = path.startswith("/api/")
        problems = {"problems": [{"at": "", "problem": self.sentence}]}
        body = (json.dumps(problems) if is_json else self.sentence + "\n").encode()
        lines = [
            f"HTTP/1.1 {self.status}",
            f"Content-Type: {'application/json' if is_json else 'text/plain; charset=utf-8'}",
            f"Content-Length: {len(body)}",
            "Cache-Control: no-store",
            "Connection: close",
        ]
        if self.retry_after_s is not None:
            lines.append(f"Retry-After: {self.retry_after_s}")
        return "\r\n".join([*lines, "", ""]).encode() + body


TOO_SLOW: Final = Refusal(
    "408 Request Timeout", "The request took too long to arrive; nothing of it was kept. Send it again."
)
CROWDED: Final = Refusal(
    "503 Service Unavailable", "Too many are asking at once; nothing was kept. Send it again in a moment.", 5
)
