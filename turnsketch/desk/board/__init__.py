"""The board: the drawing on the desk."""

from turnsketch.desk.board.view import Board

__all__ = ["Board"]
