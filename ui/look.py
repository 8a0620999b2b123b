"""How the screens look: one face, two papers, and states told apart by words and tone before colour."""

from __future__ import annotations

from dataclasses import dataclass

import flet as ft

FACE = "DejaVu Sans Condensed"
BOLD = "DejaVu Sans Condensed Bold"
FONTS = {FACE: "/fonts/DejaVuSansCondensed.ttf", BOLD: "/fonts/DejaVuSansCondensed-Bold.ttf"}

TITLE, HEAD, BODY, SMALL = 20, 14, 13, 11.5
GAP, PAD, RADIUS = 8, 16, 6


@dataclass(frozen=True)
class Ink:
    """The tones of one theme. Every pair of ink and ground has a contrast of at least 4.5 to 1."""

    paper: str
    panel: str
    raised: str
    line: str
    text: str
    quiet: str
    accent: str
    on_accent: str
    strong: str
    on_strong: str
    warm: str
    on_warm: str
    error: str


LIGHT = Ink(
    paper="#f6f5f1",
    panel="#ffffff",
    raised="#eceae3",
    line="#cfccc2",
    text="#1d2126",
    quiet="#575d66",
    accent="#1f5673",
    on_accent="#ffffff",
    strong="#7c1f1a",
    on_strong="#ffffff",
    warm="#f0dfb0",
    on_warm="#3d2f05",
    error="#8f1d17",
)
DARK = Ink(
    paper="#14181d",
    panel="#1c2229",
    raised="#262d36",
    line="#3d4651",
    text="#eceff2",
    quiet="#a9b2bc",
    accent="#8fc7e3",
    on_accent="#0b1f2a",
    strong="#f0a79b",
    on_strong="#2a0906",
    warm="#5a4a1c",
    on_warm="#fbeec4",
    error="#ffab9f",
)


def ink(dark: bool) -> Ink:
    """The tones of the theme in use."""
    return DARK if dark else LIGHT


def theme(tones: Ink) -> ft.Theme:
    """The framework's theme made of our tones."""
    return ft.Theme(
        font_family=FACE,
        scaffold_bgcolor=tones.paper,
        divider_color=tones.line,
        color_scheme=ft.ColorScheme(
            primary=tones.accent,
            on_primary=tones.on_accent,
            primary_container=tones.raised,
            on_primary_container=tones.text,
            secondary=tones.accent,
            on_secondary=tones.on_accent,
            secondary_container=tones.raised,
            on_secondary_container=tones.text,
            surface=tones.panel,
            on_surface=tones.text,
            on_surface_variant=tones.quiet,
            outline=tones.quiet,
            outline_variant=tones.line,
            error=tones.error,
            on_error=tones.panel,
            surface_container=tones.panel,
            surface_container_high=tones.raised,
            surface_container_highest=tones.raised,
            surface_container_low=tones.panel,
            inverse_surface=tones.text,
            on_inverse_surface=tones.paper,
            surface_tint=tones.panel,
        ),
        visual_density=ft.VisualDensity.COMPACT,
    )


def prepare(page: ft.Page) -> None:
    """Give a page fonts and themes."""
    page.fonts = dict(FONTS)
    page.theme, page.dark_theme = theme(LIGHT), theme(DARK)
    page.padding = 0
    page.spacing = 0
