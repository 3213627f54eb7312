"""Windows over the window close by Escape, by their own button and by the frame's."""

from __future__ import annotations

import shutil
from collections.abc import Callable
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QDialog

from desktop.dialogs.comparing import Comparison
from tests.desktop.conftest import Driver

SAMPLES = Path(__file__).resolve().parents[2] / "sample_lessons"


def open_dialogs(driver: Driver) -> list[QDialog]:
    return [dialog for dialog in driver.window.findChildren(QDialog) if dialog.isVisible()]


def printing(driver: Driver, folder: Path) -> None:
    shutil.copy(SAMPLES / "m_k.student", folder)
    driver.notebook._memory.students_folder = folder
    driver.notebook.print_for()


def comparing(driver: Driver, folder: Path) -> None:
    Comparison(driver.window, "one", "other", ()).show()


def escape(driver: Driver, dialog: QDialog) -> None:
    driver.qtbot.keyClick(dialog, Qt.Key.Key_Escape)


def frame(driver: Driver, dialog: QDialog) -> None:
    dialog.close()


@pytest.mark.parametrize("opened", [printing, comparing])
@pytest.mark.parametrize("closed", [escape, frame])
def test_a_dialog_closes_and_stays_closed(
    driver: Driver,
    tmp_path: Path,
    opened: Callable[[Driver, Path], None],
    closed: Callable[[Driver, QDialog], None],
) -> None:
    """Nobody is caught in one."""
    opened(driver, tmp_path)
    driver.qtbot.waitUntil(lambda: len(open_dialogs(driver)) == 1, timeout=20000)
    closed(driver, open_dialogs(driver)[0])
    assert open_dialogs(driver) == []
    driver.qtbot.wait(50)
    assert open_dialogs(driver) == []
