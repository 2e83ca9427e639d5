"""The tube: a round nose, a hollow body, and a rear cut into tentacles. What is inside and every cut are hollows."""

from __future__ import annotations

import math
from collections.abc import Iterator

from worker.errors import Fault
from worker.strands.girth import Girth, GirthStation
from worker.strands.path import StraightPath
from worker.strands.plain import Plain
from worker.strands.section import Section
from worker.strands.strand import Strand
from worker.styles.declare import millimetres, share, whole
from worker.styles.style import Params, Remedy, Style
from worker.styles.worm_parameters import number
