"""The name of a kind of record, which says what the body of such a record holds."""

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any, Generic

if TYPE_CHECKING:
    from typing_extensions import TypeVar  # typing has no default before Python 3.13

    HeldT = TypeVar("HeldT", bound=Mapping[str, Any])
    BodyT = TypeVar("BodyT", bound=Mapping[str, Any], default=Mapping[str, Any], covariant=True)
else:
    from typing import TypeVar

    HeldT, BodyT = TypeVar("HeldT"), TypeVar("BodyT")


class KindOf(str, Generic[HeldT]):
    """A kind of record by its name, as schemas/book/kinds has it."""

    __slots__ = ()
