"""House of styles: one file a style, one line here."""

from worker.styles.beaded_worm import BEADED_WORM
from worker.styles.bend_rod import BEND_ROD
from worker.styles.craw import CRAW
from worker.styles.creature import CREATURE
from worker.styles.grub import GRUB
from worker.styles.jointed_worm import JOINTED_WORM
from worker.styles.leech import LEECH
from worker.styles.lizard import LIZARD
from worker.styles.paddle_tail import PADDLE_TAIL
from worker.styles.pull_bar import PULL_BAR
from worker.styles.ribbed_worm import RIBBED_WORM
from worker.styles.shrimp import SHRIMP
from worker.styles.stick_worm import STICK_WORM
from worker.styles.style import Style
from worker.styles.tube import TUBE

STYLES: dict[str, Style] = {
    style.name: style
    for style in (
        BEADED_WORM,
        JOINTED_WORM,
        RIBBED_WORM,
        CRAW,
        STICK_WORM,
        GRUB,
        PADDLE_TAIL,
        LEECH,
        TUBE,
        CREATURE,
        SHRIMP,
        LIZARD,
        PULL_BAR,
        BEND_ROD,
    )
}
"""Every built-in style by name."""

__all__ = ["STYLES", "Style"]
