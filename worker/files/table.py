"""Which files there are, which output each belongs to, and its registered media type (no writer is imported here).

Media types: `model/stl` (IANA, RFC-less registration of 2018), `model/3mf` (IANA), `model/gltf-binary` (IANA, Khronos),
`image/png`, `image/webp` (RFC 9649), `image/svg+xml` (IANA, W3C SVG), `application/json` (RFC 8259),
`application/pdf` (RFC 8118).
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass, replace


@dataclass(frozen=True, slots=True)
class FileKind:
    """One file that a bait can have. `output` is what a request names to get it; None comes always."""

    name: str
    output: str | None
    media_type: str
    summary: str


FILE_KINDS: tuple[FileKind, ...] = (
    FileKind("metrics.json", None, "application/json", "The numbers and the checks, as in the bait's answer."),
    FileKind("bait.stl", "stl", "model/stl", "The closed mesh in millimetres, binary."),
    FileKind("bait.3mf", "3mf", "model/3mf", "The closed mesh in millimetres, with its colour."),
    FileKind("bait.glb", "glb", "model/gltf-binary", "A light mesh to look at, in metres, with the plastic's finish."),
    FileKind("thumbnail.png", "thumbnail", "image/png", "A picture of the bait, 800 x 600; a preview's 400 x 300."),
    FileKind("thumbnail.webp", "thumbnail", "image/webp", "The same picture in a tenth of the bytes."),
    FileKind(
        "turntable.webp",
        "turntable",
        "image/webp",
        "One turn of the bait about its long axis, of one that droops about the upright; goes on turning.",
    ),
    FileKind(
        "views.png",
        "views",
        "image/png",
        "Four pictures in one column at one scale, with a bench rule: from above, the side, the nose, and at an angle.",
    ),
    FileKind(
        "joints.svg",
        "plots",
        "image/svg+xml",
        "The bait and, on the same axis in mm and inches, its sections, the pull of each joint against what is asked, "
        "and its stiffness.",
    ),
    FileKind(
        "master.stl",
        "master",
        "model/stl",
        "The master to print and cast a mould from: the bait, larger by what plastic, mould and print shrink.",
    ),
    FileKind(
        "master.svg",
        "master",
        "image/svg+xml",
        "The master with its thinnest places numbered, and which way up it prints with the least overhang.",
    ),
    FileKind(
        "sheet.pdf",
        "sheet",
        "application/pdf",
        "The bench sheet on one or two pages: views with sizes, joints, checks, plastic, temperatures, shot, cautions.",
    ),
    FileKind("mould_upper.stl", "mould", "model/stl", "The upper half of the mould, its parting face up; binary, mm."),
    FileKind("mould_lower.stl", "mould", "model/stl", "The lower half likewise, or an open mould."),
    FileKind("mould_core.stl", "mould", "model/stl", "The core pins of one cavity, or the form that is dipped."),
    FileKind("mould.3mf", "mould", "model/3mf", "Every part of the mould as it is laid on a bed, in millimetres."),
    FileKind("mould_upper.png", "mould", "image/png", "The upper half from its parting face, undercuts hatched."),
    FileKind("mould_lower.png", "mould", "image/png", "The lower half likewise."),
)

FIT_FILE_KINDS: tuple[FileKind, ...] = (
    FileKind("fit.json", None, "application/json", "The answer: the best bait, its neighbours, the front."),
    FileKind(
        "tradeoff.svg",
        None,
        "image/svg+xml",
        "The front: what the weakest joint holds against how easily the bait bends, each point a bait.",
    ),
)
"""The files of a fit."""

FILES: dict[str, FileKind] = {kind.name: kind for kind in FILE_KINDS}
FIT_FILES: dict[str, FileKind] = {kind.name: kind for kind in FIT_FILE_KINDS}
OUTPUTS: tuple[str, ...] = tuple(dict.fromkeys(kind.output for kind in FILE_KINDS if kind.output is not None))
DEFAULT_OUTPUTS: tuple[str, ...] = tuple(output for output in ("stl", "3mf", "glb", "thumbnail") if output in OUTPUTS)


SIZED_THUMBNAIL = re.compile(r"thumbnail-[1-9][0-9]{1,3}x[1-9][0-9]{1,3}\.webp")
"""The names of thumbnails of sizes that a request asks for (`picture.sizes`)."""


def kind_of_file(name: str) -> FileKind:
    """The kind of a bait's or a fit's file. Raises KeyError for a name that none has."""
    if SIZED_THUMBNAIL.fullmatch(name):
        return replace(FILES["thumbnail.webp"], name=name, summary="The same picture in a size that was asked for.")
    return FILES.get(name) or FIT_FILES[name]


def files_of(outputs: Iterable[str]) -> tuple[str, ...]:
    """The names of the files that these outputs give, in the table's order."""
    wanted = set(outputs)
    return tuple(kind.name for kind in FILE_KINDS if kind.output is None or kind.output in wanted)
