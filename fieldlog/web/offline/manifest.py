"""How the app stands on a home screen."""

from typing import Any, Final

MANIFEST: Final[dict[str, Any]] = {
    "id": "/",
    "name": "Fieldlog",
    "short_name": "Fieldlog",
    "description": "Arrival checks at campground outlets, judged and kept on the phone.",
    "lang": "en",
    "start_url": "/",
    "scope": "/",
    "display": "standalone",
    "background_color": "#f7f5ee",
    "theme_color": "#0b3f50",
    "icons": [
        {"src": "/static/icons/sign-192.png", "sizes": "192x192", "type": "image/png"},
        {"src": "/static/icons/sign-512.png", "sizes": "512x512", "type": "image/png"},
        {
            "src": "/static/icons/sign-full-512.png",
            "sizes": "512x512",
            "type": "image/png",
            "purpose": "maskable",
        },
    ],
    "shortcuts": [{"name": "Check an outlet", "url": "/arrive"}],
}
