"""An editor for a picture: seen small, chosen from a file, taken away again."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from PySide6.QtCore import QSize, Qt
from PySide6.QtGui import QImage, QPixmap
from PySide6.QtWidgets import QFileDialog, QHBoxLayout, QLabel, QPushButton, QWidget

from desktop.forms.editor import Editor
from desktop.words import say
from lessonkit.drills.setting import Setting
from lessonkit.lesson.letterhead import MOST_BYTES, Letterhead

SEEN = QSize(120, 32)
"""The room in which the picture is seen, in pixels."""


class PictureEditor(Editor):
    """A letterhead, or none."""

    def __init__(self) -> None:
        holder = QWidget()
        super().__init__(holder)
        self.is_wide = True
        self.seen = QLabel()
        self.seen.setFixedHeight(SEEN.height())
        self.choose = QPushButton(say("Choose …"))
        self.choose.setAccessibleName(say("Choose a picture"))
        self.choose.clicked.connect(self._choose)
        self.remove = QPushButton(say("Remove"))
        self.remove.setAccessibleName(say("Remove the picture"))
        self.remove.clicked.connect(lambda: self.edited.emit(None))
        row = QHBoxLayout(holder)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(8)
        row.addWidget(self.seen)
        for button in (self.choose, self.remove):
            button.setAutoDefault(False)
            row.addWidget(button)
        row.addStretch(1)
        holder.setFocusProxy(self.choose)
        self._value: Letterhead | None = None

    def show_value(self, value: Any, setting: Setting) -> None:
        self._value = value
        self.seen.setVisible(value is not None)
        self.remove.setVisible(value is not None)
        if value is not None:
            picture = QPixmap.fromImage(QImage.fromData(value.content))
            self.seen.setPixmap(
                picture.scaled(
                    SEEN, Qt.AspectRatioMode.KeepAspectRatio, Qt.TransformationMode.SmoothTransformation
                )
            )  # fmt: skip
            self.seen.setAccessibleName(
                say("The picture, {width} by {height}", width=value.size[0], height=value.size[1])
            )
        self.refused.emit("")

    def ask(self) -> Path | None:
        """The picture's file; tests answer in our stead."""
        name, _ = QFileDialog.getOpenFileName(self, say("Choose a picture"), "", say("Pictures (*.png *.jpg *.jpeg)"))
        return Path(name) if name else None

    def _choose(self) -> None:
        path = self.ask()
        if path is None:
            return
        try:
            with path.open("rb") as file:
                found = Letterhead(file.read(MOST_BYTES + 1))
        except OSError as error:
            self.refused.emit(say("{name} cannot be read: {reason}", name=path.name, reason=error.strerror))
        except ValueError as error:
            self.refused.emit(str(error))
        else:
            self.refused.emit("")
            self.edited.emit(found)
