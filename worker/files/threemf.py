"""`bait.3mf` and `mould.3mf`: closed meshes in millimetres as 3MF core packages (ISO/IEC 25422; 3MF Core).

Why own code: the bytes have to be the same for the same bait on every machine. trimesh writes a fresh UUID into each
file and needs an XML library and a graph library to do so; lib3mf, the consortium's own, has no wheel for Linux on
ARM and dates its archives; nothing else on the package index writes the format. The tests read these files with
lib3mf.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from xml.sax.saxutils import escape, quoteattr

import numpy as np
from numpy.typing import ArrayLike

from worker.files.archive import zip_archive
from worker.files.decimal_text import number_rows
from worker.files.mesh_arrays import checked_mesh

DECIMALS = 5
"""Coordinates are written to 1e-5 mm, the grid on which every vertex of a solid lies."""

MODEL_PART = "3D/3dmodel.model"  # the name that the core specification recommends (2.2)
_CORE = "http://schemas.microsoft.com/3dmanufacturing/core/2015/02"

_CONTENT_TYPES = b"""<?xml version="1.0" encoding="UTF-8"?>
<Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types">\
<Default Extension="rels" ContentType="application/vnd.openxmlformats-package.relationships+xml"/>\
<Default Extension="model" ContentType="application/vnd.ms-package.3dmanufacturing-3dmodel+xml"/>\
</Types>
"""

_RELATIONSHIPS = f"""<?xml version="1.0" encoding="UTF-8"?>
<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships">\
<Relationship Id="model" Target="/{MODEL_PART}" \
Type="http://schemas.microsoft.com/3dmanufacturing/2013/01/3dmodel"/>\
</Relationships>
""".encode()

_NOT_XML = re.compile("[^\\t\\n\\r\\x20-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")
"""What XML 1.0, section 2.2, does not take as a character, not even escaped."""

_COLOUR = re.compile(r"#[0-9a-fA-F]{6}")


def write_3mf(
    vertices: ArrayLike, triangles: ArrayLike, *, title: str | None = None, colour: str | None = None
) -> bytes:
    """The mesh as one object and one item to build; `vertices` (n, 3) in mm, `triangles` (m, 3), outward.

    `title` becomes the file's Title: runs of white space become one space, characters that XML cannot carry U+FFFD.
    `colour`, "#rrggbb" in sRGB, becomes the display colour of the one material. The item is moved, not turned, so
    that the bait lies in the positive octant of the build space, as the core specification asks (3.3); the mesh
    keeps its own coordinates. Raises GeometryFailed for arrays that are no mesh and ValueError for another colour.
    """
    resources, properties = _material(colour)
    return _package(_metadata(title), resources, [_Object("bait", vertices, triangles, properties)], first=2)


def write_3mf_parts(parts: Sequence[tuple[str, ArrayLike, ArrayLike]]) -> bytes:
    """Several named meshes, each an object and an item of its own, side by side along y with `BETWEEN` mm between them.

    Raises GeometryFailed for arrays that are no mesh.
    """
    return _package(
        _metadata(None), "", [_Object(name, vertices, triangles, "") for name, vertices, triangles in parts], first=1
    )


BETWEEN = 10
"""Room between parts on the bed, mm."""


@dataclass(frozen=True)
class _Object:
    name: str
    vertices: ArrayLike
    triangles: ArrayLike
    properties: str


def _package(metadata: bytes, resources: str, objects: Sequence[_Object], first: int) -> bytes:
    """The archive; objects are numbered from `first`, after the material."""
    written, items = [], []
    aside = 0
    for number, each in enumerate(objects, start=first):
        points, corners = checked_mesh(each.vertices, each.triangles)
        scaled = np.rint(points * 10.0**DECIMALS).astype(np.int64)
        low, high = scaled.min(axis=0), scaled.max(axis=0)
        to_octant = -low + np.array([0, aside, 0])
        aside += int(high[1] - low[1]) + BETWEEN * 10**DECIMALS
        written += [
            f'<object id="{number}" type="model" name={quoteattr(each.name)}{each.properties}><mesh>\n'.encode(),
            b"<vertices>",
            number_rows([b'<vertex x="', b'" y="', b'" z="', b'"/>'], scaled, DECIMALS),
            b"</vertices>\n<triangles>",
            number_rows([b'<triangle v1="', b'" v2="', b'" v3="', b'"/>'], corners),
            b"</triangles>\n</mesh></object>",
        ]
        items += [
            f'<item objectid="{number}" transform="'.encode(),
            number_rows([b"1 0 0 0 1 0 0 0 1 ", b" ", b" ", b""], to_octant[None], DECIMALS),
            b'"/>',
        ]
    model = b"".join(
        [
            b'<?xml version="1.0" encoding="UTF-8"?>\n',
            f'<model unit="millimeter" xml:lang="und" xmlns="{_CORE}">\n'.encode(),
            metadata,
            f"<resources>{resources}".encode(),
            *written,
            b"</resources>\n<build>",
            *items,
            b"</build>\n</model>\n",
        ]
    )
    return zip_archive({"[Content_Types].xml": _CONTENT_TYPES, "_rels/.rels": _RELATIONSHIPS, MODEL_PART: model})


def _metadata(title: str | None) -> bytes:
    lines = '<metadata name="Application">Pourwright</metadata>\n'
    text = " ".join(_NOT_XML.sub("\ufffd", title or "").split())
    if text:
        lines = f'<metadata name="Title">{escape(text)}</metadata>\n{lines}'
    return lines.encode()


def _material(colour: str | None) -> tuple[str, str]:
    """The material's resource and the object's reference to it, both empty where there is no colour."""
    if colour is None:
        return "", ""
    if not _COLOUR.fullmatch(colour):
        raise ValueError(f"a colour is written #rrggbb, not {colour!r}")
    base = f'<base name="soft plastic" displaycolor={quoteattr(colour.upper())}/>'
    return f'<basematerials id="1">{base}</basematerials>', ' pid="1" pindex="0"'
