"""Cautions that come with every answer: what can hurt, and who has the last word. They are never verdicts."""

EVERY_BAIT: tuple[str, ...] = (
    "Pulls and notch factors are estimates by small-strain theory; pour one and pull it before you sell it.",
    "Molten plastic burns and its fumes harm: face shield, gloves, long sleeves, extraction, no water near it, and "
    "never leave heat unattended.",
    "The supplier's sheet, local codes and licensed practice come first.",
    "Hooks, weights and small parts are not for children or pets.",
)
