"""When the answer is worked out: soon after a change, in a thread, the newest change only."""

from __future__ import annotations

import asyncio
import logging
from typing import Any

import flet as ft

from .state import Outcome, Session, draft_title

log = logging.getLogger("triage.ui")
SOON = 0.06  # s after the last change before the quick answer
LATER = 0.35  # s more of rest before thresholds and odds
PATIENCE = 0.8  # s before a mistake is shown in the field that is being typed in
DRAFT = "cold-triage.draft"


class Work:
    """The running jobs of one session."""

    def __init__(self, page: ft.Page, session: Session, store: Any, files: Any) -> None:
        self.page, self.session, self.store, self.files = page, session, store, files
        self._kept: dict[str, Any] = {}
        self.drafts_as = ""
        self._job: Any = None

    def soon(self) -> None:
        """Work the answer out shortly; a later call replaces this one."""
        if self._job is not None:
            self._job.cancel()
        self._job = self.page.run_task(self._run)

    def once(self, name: str, made: Any) -> Any:
        """The object first given under a name, so that parts which compare what they are given stay as they are."""
        return self._kept.setdefault(name, made)

    async def _run(self) -> None:
        session = self.session
        await asyncio.sleep(SOON)
        began = session.form.version
        await self._one(thorough=False)
        await asyncio.sleep(LATER)
        if session.form.version == began:
            await self._one(thorough=True)
            await self.keep_draft()
        await asyncio.sleep(max(0.0, PATIENCE - SOON - LATER))
        if session.form.version == began:
            session.form.typing = ""

    async def _one(self, *, thorough: bool) -> None:
        try:
            outcome: Outcome = await asyncio.to_thread(self.session.work_out, thorough=thorough)
        except Exception as error:
            log.exception("working out")
            self.session.shown.working = False
            self.session.tell(f"The answer could not be worked out: {error}")
            return
        self.session.publish(outcome)

    async def table(self) -> None:
        """Assess every proposal of the facility."""
        session = self.session
        session.table.working = True
        try:
            session.rows = await asyncio.to_thread(session.assess_all)
            session.table_stale = False
        finally:
            session.table.working = False
            session.table.number += 1

    async def keep_draft(self) -> None:
        """Keep unsaved changes in the browser, so that neither a reload nor a stopped server loses them."""
        key = self.draft_key
        try:
            if self.session.form.dirty:
                await self.store.set(key, self.session.draft())
            else:
                await self.store.remove(key)
        except Exception:
            log.warning("the draft could not be kept", exc_info=True)

    async def take_draft(self) -> bool:
        """Take up the draft of this browser tab, if there is one."""
        try:
            draft = await self.store.get(self.draft_key)
        except Exception:
            log.warning("the draft could not be read", exc_info=True)
            return False
        return isinstance(draft, str) and self.session.restore(draft)

    async def find_left(self) -> None:
        """Find unsaved work that other tabs of this browser left behind for this facility."""
        prefix = f"{DRAFT}.{self.session.facility_key}."
        found = []
        try:
            for key in await self.store.get_keys(prefix):
                draft = await self.store.get(key)
                title = draft_title(draft) if isinstance(draft, str) and key != self.draft_key else ""
                if title:
                    found.append((key, title))
        except Exception:
            log.warning("drafts could not be listed", exc_info=True)
        self.session.place.left = tuple(found[:5])

    async def continue_left(self, key: str) -> None:
        """Take up unsaved work left behind."""
        draft = await self.store.get(key)
        if isinstance(draft, str) and self.session.restore(draft):
            self.soon()
        await self.drop_left(key)

    async def drop_left(self, key: str) -> None:
        """Forget unsaved work left behind."""
        session = self.session
        await self.store.remove(key)
        session.place.left = tuple(each for each in session.place.left if each[0] != key)

    @property
    def draft_key(self) -> str:
        """Where the draft of this tab is kept."""
        return f"{DRAFT}.{self.session.facility_key}.{self.drafts_as}"
