"""What each setting means: told by fieldlog serve --help, and held against what is read of them."""

from typing import Final, NamedTuple


class Setting(NamedTuple):
    """A name in the environment, what holds without it, and what it means."""

    name: str
    default: str
    meaning: str


SETTINGS: Final = (
    Setting("HOST", "127.0.0.1", "the address to listen on; 0.0.0.0 is every network of this machine"),
    Setting("PORT", "8000", "the port to listen on"),
    Setting(
        "FIELDLOG_DATA",
        "var/ in this folder",
        "where the database and the key for forms lie; back this folder up",
    ),
    Setting("DATABASE_URL", "SQLite in FIELDLOG_DATA", "another database"),
    Setting(
        "FIELDLOG_PHOTOS",
        "photos/ in FIELDLOG_DATA",
        "where the pictures lie: a folder, or an address that fsspec understands, such as s3://bucket/photos "
        "(install its package); back it up too",
    ),
    Setting(
        "TRUSTED_HOSTS",
        "any; deploy/start and deploy/public set the machine's own names and addresses",
        "the host names that the program answers to, separated by commas, an address of IPv6 in brackets; "
        "name further ones here, with all that are to be answered",
    ),
    Setting("PROXY_HOPS", "0", "how many proxies stand before it; their headers are believed only then"),
    Setting(
        "HEAD_SECONDS",
        "10",
        "how long the head of a request may take to arrive, over https its handshake too",
    ),
    Setting(
        "BODY_SECONDS",
        "10",
        "in each span of so many seconds a body has to bring 500 bytes a second, and an answer has to be "
        "taken as fast",
    ),
    Setting(
        "IDLE_SECONDS",
        "30",
        "how long a connection is kept open for a next request; a proxy has to let go of it sooner",
    ),
    Setting(
        "MOST_CONNECTIONS",
        "1000",
        "how many connections each of the two processes holds; beyond, the one gives way that has waited "
        "longest",
    ),
    Setting(
        "MOST_BY_ADDRESS",
        "64",
        "how many of them one address holds, in IPv6 one /64; behind a proxy the address that PROXY_HOPS "
        "tells",
    ),
    Setting(
        "TRUST_PORT",
        "none; with deploy/start --home one above PORT",
        "the program is served over https with the certificate in FIELDLOG_DATA/home, and this port hands "
        "out its root over plain http",
    ),
    Setting("FIELDLOG_MOST_RECORDS", "200000", "how many records one account may have"),
    Setting("FIELDLOG_MOST_TEXT_MB", "500", "how many MB of text those may have"),
    Setting("FIELDLOG_MOST_PHOTOS_MB", "20000", "how many MB of photos one account may have"),
    Setting(
        "FIELDLOG_LEAST_FREE_MB",
        "100",
        "with less than that free on the disk nothing more is taken; what a phone holds waits there and says "
        "so",
    ),
    Setting("FIELDLOG_PDF_SECONDS", "120", "how many seconds drawing the PDF of a service record may take"),
    Setting(
        "FIELDLOG_PDF_MOST_MB",
        "400",
        "how many MB of memory may be resident for drawing one, and two are drawn at a time; of a log of "
        "20,000 entries it took 352",
    ),
    Setting(
        "FIELDLOG_OFFLINE",
        "on",
        "off makes phones drop the pages they keep, should those ever stand in the way; records and drafts "
        "stay on them",
    ),
)


def listed() -> str:
    """Give the settings as paragraphs."""
    return "\n\n".join(f"{each.name} ({each.default}): {each.meaning}." for each in SETTINGS)
