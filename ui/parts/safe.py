"""An error boundary: one part that cannot be drawn says so and leaves the rest of the page alive."""

from __future__ import annotations

import functools
import logging
from collections.abc import Callable
from typing import Any

import flet as ft

log = logging.getLogger("triage.ui")


def safe(render: Callable[..., Any]) -> Callable[..., Any]:
    """Make a component that shows a message in its place where it raises."""

    @functools.wraps(render)
    def guarded(*args: Any, **kwargs: Any) -> Any:
        try:
            return render(*args, **kwargs)
        except Exception as error:
            log.exception("render of %s", render.__name__)
            return ft.Text(
                f"This part cannot be shown ({render.__name__}: {error}). Your entries are kept.", color=ft.Colors.ERROR
            )

    return ft.component(guarded)


def handled(act: Callable[..., Any], tell: Callable[[str], None]) -> Callable[..., Any]:
    """An event handler that reports its own failure in the status line instead of replacing the page."""

    @functools.wraps(act)
    def guarded(*args: Any, **kwargs: Any) -> Any:
        try:
            return act(*args, **kwargs)
        except Exception as error:
            log.exception("handler %s", act.__name__)
            tell(f"That did not work: {error}")
            return None

    return guarded
