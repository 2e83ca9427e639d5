"""One sheet of the demo's pictures: python demo_requests/contact_sheet.py [OUT]   (after `make demo`)"""

from __future__ import annotations

import json
import sys
from pathlib import Path

from PIL import Image

HERE = Path(__file__).parent
ACROSS, WIDTH, HEIGHT = 4, 360, 270


def main(out: Path) -> None:
    """Thumbnails in the order of the requests, four in a row, as a small WebP beside this file."""
    labels = [json.loads(path.read_text())["label"] for path in sorted(HERE.glob("*.json"))]
    rows = -(-len(labels) // ACROSS)
    sheet = Image.new("RGB", (ACROSS * WIDTH, rows * HEIGHT), "white")
    for place, label in enumerate(labels):
        with Image.open(out / label.replace("/", "-") / "thumbnail.png") as picture:
            small = picture.convert("RGB").resize((WIDTH, HEIGHT), Image.Resampling.LANCZOS)
        sheet.paste(small, (place % ACROSS * WIDTH, place // ACROSS * HEIGHT))
    sheet.save(HERE / "contact_sheet.webp", quality=85, method=4)


if __name__ == "__main__":
    main(Path(sys.argv[1] if len(sys.argv) > 1 else "out"))
