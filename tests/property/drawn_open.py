"""Random requests in the open form: trunks on all kinds of paths, limbs on limbs, reliefs, bands and hollows.

Numbers are drawn in proportion to each other, so that most of what is drawn can exist; what cannot is drawn again.
"""

from __future__ import annotations

from typing import Any

from hypothesis import reject
from hypothesis import strategies as st

from tests.property.drawn import exists
from worker.open_form import declared
from worker.request import Request, read_request

Body = dict[str, Any]


def between(low: float, high: float) -> st.SearchStrategy[float]:
    """Numbers at two decimals."""
    return st.integers(round(100 * low), round(100 * high)).map(lambda whole: whole / 100)


def angles(low: int, high: int) -> st.SearchStrategy[int]:
    """Whole degrees."""
    return st.integers(low, high)


@st.composite
def paths(draw: st.DrawFn, length: float, bend: float) -> Body:
    """A path about `length` mm long that strays from straight ahead by up to `bend` of it."""

    def point(share: float) -> list[float]:
        aside, up = (round(draw(between(-bend, bend)) * length * share, 2) for _ in range(2))
        return [round(share * length, 2), aside, up]

    match draw(st.sampled_from(["length", "points", "curve"])):
        case "length":
            return {"length": length}
        case "points":
            count = draw(st.integers(2, 4))
            return {"points": [[0, 0, 0], *(point(step / (count - 1)) for step in range(1, count))]}
        case _:
            tip = point(1.0)
            begin = [round(length * draw(between(0.5, 1.2)), 2), 0, 0]
            end = [round(length * draw(between(0.5, 1.2)), 2), *(round(2 * each, 2) for each in tip[1:])]
            return {"curve": [{"point": [0, 0, 0], "tangent": begin}, {"point": tip, "tangent": end}]}


@st.composite
def girths(draw: st.DrawFn, width: float, *, least: float, like: float | None = None) -> list[Body]:
    """Stations about `width` mm wide and, unless every height is `like` times the width, of all kinds of heights."""
    count = draw(st.integers(1, 4))
    rows = []
    for place in range(count):
        wide = round(max(width * draw(between(0.55, 1.1)), least), 2)
        row: Body = {"at": round(place / max(count - 1, 1), 3), "width": wide}
        if like is not None:
            row["height"] = round(like * wide, 4)
        elif draw(st.booleans()):
            row["height"] = round(max(wide * draw(between(0.5, 1.4)), least), 2)
        elif draw(st.booleans()):
            row |= {name: round(max(wide * draw(between(0.3, 0.8)), least / 2), 2) for name in ("back", "belly")}
        rows.append(row)
    return rows


@st.composite
def sections(draw: st.DrawFn, width: float) -> Body:
    """An ellipse, or squarer, or cut level below."""
    section: Body = {}
    if draw(st.booleans()):
        section = {"upper": draw(between(1.5, 8)), "lower": draw(between(1.5, 8))}
    if draw(st.integers(0, 3)) == 0:
        section["floor"] = round(max(width * draw(between(0.15, 0.4)), 0.2), 2)
    return section


@st.composite
def reliefs(draw: st.DrawFn, length: float, width: float) -> Body:
    """Any kind, of a size that fits a strand of that length and width."""
    kind = draw(st.sampled_from(["plain", "beads", "ribs", "rings"]))
    if kind == "plain" or length < 20:
        return {"kind": "plain"}
    if kind == "beads":
        ratio = draw(between(0.6, 1.6))
        count = max(2, int(length / (ratio * width * draw(between(0.5, 1.1)))))
        relief = {"kind": "beads", "count": min(count, 40), "length_ratio": ratio, "blend": draw(between(0, 2))}
        relief["segment"] = draw(st.sampled_from(["ball", "barrel", "cone"]))
        if draw(st.booleans()):
            relief["core"] = {"width_share": draw(between(0.3, 0.9)), "height_share": draw(between(0.3, 0.7))}
        return relief
    low, high = (1.6, 6.0) if kind == "ribs" else (1.2, 5.0)
    relief = {"kind": kind, "from": draw(between(0.12, 0.4)), "to": draw(between(0.6, 0.88))}
    pitch = draw(between(low, high))
    if draw(st.booleans()):
        relief["pitch"] = pitch
    else:
        relief["count"] = max(1, int((relief["to"] - relief["from"]) * length / pitch))
    if kind == "ribs":
        edge = draw(between(0.1, 0.3))
        land = round(max(2 * edge, (pitch - 3 * edge) * draw(between(0.1, 0.6))), 2)
        relief |= {"depth": round(max(0.2, width * draw(between(0.03, 0.12))), 2), "land": land, "edge": edge}
    else:
        relief["depth"] = round(min(max(0.1, pitch * draw(between(0.05, 0.3))), width / 8, 1.5), 2)
    return {**relief, "cover": draw(st.sampled_from(["all", "all", "back", "belly", "sides"]))}


@st.composite
def ends(draw: st.DrawFn, width: float) -> Body:
    """Words, or lengths."""
    end = st.one_of(st.sampled_from(declared.END_WORDS), between(0, width))
    return draw(st.fixed_dictionaries({}, optional={"root": end, "tip": end}))


@st.composite
def _shape(draw: st.DrawFn, length: float, width: float, *, least: float, bend: float) -> Body:
    relief = draw(reliefs(length, width)) if least > 2 else {"kind": "plain"}
    beads = relief["kind"] == "beads"
    ratio = draw(st.sampled_from([1.0, 0.9, 0.75])) if beads else None
    shape: Body = {
        "path": draw(paths(length, bend)),
        "girth": draw(girths(width, least=least, like=ratio)),
        "relief": relief,
    }
    if not beads:
        shape |= {"section": draw(sections(width)), "ends": draw(ends(width))}
    if least > 2 and draw(st.integers(0, 2)) == 0:
        begin = draw(between(0, 0.6))
        band = {"from": begin, "to": round(begin + draw(between(0.08, 0.3)), 3), "raised": draw(between(0, 1.5))}
        shape["bands"] = [band | ({"head": "blunt"} if begin == 0 else {})]
    return shape


@st.composite
def _limb(draw: st.DrawFn, name: str, parent: Body, reach: float, width: float) -> Body:
    length = round(reach * draw(between(0.25, 0.6)), 1)
    thick = round(max(width * draw(between(0.2, 0.6)), 1.0), 2)
    where: Any = [draw(between(0.15, 0.95)) for _ in range(draw(st.integers(1, 2)))]
    if draw(st.integers(0, 3)) == 0:
        where = {"from": 0.25, "to": draw(between(0.5, 0.9)), "count": draw(st.integers(2, 4))}
    limb = {
        "name": name,
        "kind": draw(st.sampled_from(declared.LIMB_KINDS)),
        "parent": parent["name"],
        "stations": where,
        "yaw": draw(angles(-150, 150)),
        "rise": draw(angles(-80, 80)),
        "roll": draw(angles(-90, 90)),
        "both_sides": draw(st.booleans()),
        "root_blend": draw(between(0, 2)),
    }
    return limb | draw(_shape(max(length, 1.6 * width), thick, least=0.8, bend=0.3))


@st.composite
def _hollow(draw: st.DrawFn, strand: Body, width: float) -> Body:
    kind = draw(st.sampled_from(declared.HOLLOW_KINDS))
    begin = draw(between(0.1, 0.6))
    stretch = {"from": begin, "to": round(min(begin + draw(between(0.1, 0.4)), 1.0), 2)}
    place: Body = {"stations": [draw(between(0.1, 0.9))]}
    match kind:
        case "slot":
            own: Body = {**stretch, "side": draw(st.sampled_from(["back", "belly"]))}
            own |= {
                "width": draw(between(0.8, max(width / 4, 0.81))),
                "depth": round(width * draw(between(0.1, 0.4)), 2),
            }
        case "bore":
            own = draw(st.sampled_from([{}, {"stations": [1]}, {**place, "yaw": 90, "start": [0, -width, 0]}]))
            own = {**own, "diameter": draw(between(0.8, width / 4 + 0.8)), "length": draw(between(2, 25))}
        case "pocket":
            across = draw(between(1, width / 3 + 1))
            own = {**place, "diameter": across, "length": round(across * draw(between(1, 3)), 2)}
        case "socket":
            own = {**place, "around": draw(angles(-180, 180)), "both_sides": draw(st.booleans())}
            own |= {"diameter": draw(between(1, width / 3 + 1)), "depth": draw(between(0.3, 1.5))}
        case "inside":
            own = {"from": begin, "to": draw(st.sampled_from([1.0, 0.9])), "wall": draw(between(0.8, width / 4 + 0.8))}
        case _:
            own = {"from": draw(between(0.4, 0.8)), "to": draw(st.sampled_from([1.0, 0.95]))}
            own |= {"count": draw(st.integers(1, 4)), "width": draw(between(0.3, 1)), "around": draw(angles(-180, 180))}
    return {"kind": kind, "strand": strand["name"], **own}


@st.composite
def open_form_bodies(draw: st.DrawFn, *, tolerance: float = 0.1, hollows: bool = True) -> Body:
    """Bodies of requests for an STL that the reader takes."""
    length, width = draw(between(35, 130)), draw(between(6, 18))
    trunk = {"name": "body", "kind": "trunk"} | draw(_shape(length, width, least=4.0, bend=0.12))
    strands = [trunk]
    if "length" in trunk["path"] and draw(st.integers(0, 3)) == 0:
        lobe = {
            "name": "lobe",
            "kind": "core",
            "start": [round(length / 8, 2), round(width / 3, 2), 0],
            "both_sides": True,
        }
        strands.append(lobe | draw(_shape(length / 2, 0.7 * width, least=3.0, bend=0)))
        strands[-1]["path"] = {"length": round(length / 2, 2)}
    for number in range(draw(st.integers(0, 3))):
        parent = draw(st.sampled_from(strands))
        small = "parent" in parent
        strands.append(
            draw(_limb(f"limb {number + 1}", parent, length / (4 if small else 2), width / (3 if small else 1)))
        )
    taken_out = [draw(_hollow(trunk, width)) for _ in range(draw(st.sampled_from([0, 0, 1, 2])))] if hollows else []
    body: Body = {"strands": strands, "tolerance_mm": tolerance, "outputs": ["stl"]}
    if taken_out:
        body["hollows"] = taken_out
    if not exists(body):
        reject()
    return body


def open_form_requests(*, tolerance: float = 0.1, hollows: bool = True) -> st.SearchStrategy[Request]:
    """As `open_form_bodies`, read."""
    return open_form_bodies(tolerance=tolerance, hollows=hollows).map(read_request)
