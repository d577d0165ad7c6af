"""Draw static/icons/*.png from the SVG files beside them, with the browser that the tests use.

Run it after a change of the sign: .venv/bin/python deploy/draw-icons.py, then .venv/bin/fieldlog shell.
If it fails, look first whether deploy/check has run once: it installs what is needed here.
"""

from io import BytesIO
from pathlib import Path

from PIL import Image
from playwright.sync_api import Browser, sync_playwright

ICONS = Path(__file__).resolve().parents[1] / "static" / "icons"
SIZES = {"sign": (192, 512), "sign-full": (192, 512)}
COLORS = 32  # the sign has three; the rest are its edges


def drawn(browser: Browser, source: Path, size: int) -> Image.Image:
    """Draw one sign at one size; what it leaves open stays open."""
    page = browser.new_page(viewport={"width": size, "height": size})
    page.goto(source.as_uri())
    image = Image.open(BytesIO(page.screenshot(omit_background=True)))
    page.close()
    return image.quantize(COLORS, method=Image.Quantize.FASTOCTREE)


def main() -> None:
    """Draw them all."""
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path="/usr/bin/chromium", args=["--no-sandbox"])
        for name, sizes in SIZES.items():
            for size in sizes:
                path = ICONS / f"{name}-{size}.png"
                drawn(browser, ICONS / f"{name}.svg", size).save(path, optimize=True)
                print(f"{path}: {path.stat().st_size} bytes")
        browser.close()


if __name__ == "__main__":
    main()
