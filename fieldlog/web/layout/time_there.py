"""The time where an account is, so that a page's today is the day of the people it is about."""

from datetime import datetime

from fieldlog.store.zones import zone_of_account
from fieldlog.web.layout.parts import parts


def time_there(account: str) -> datetime:
    """Give the present in the zone of the account's phone; its date is today there."""
    with parts().store.reading() as tx:
        zone = zone_of_account(tx, account)
    return parts().now().astimezone(zone)
