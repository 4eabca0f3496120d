"""Tools of the board: objects that start, move, end and cancel."""

from turnsketch.desk.board.tools.base import Tool
from turnsketch.desk.board.tools.choose import ChooseTool
from turnsketch.desk.board.tools.dimension import DimensionTool
from turnsketch.desk.board.tools.draw import DrawTool
from turnsketch.desk.board.tools.scale import ScaleTool

__all__ = ["ChooseTool", "DimensionTool", "DrawTool", "ScaleTool", "Tool"]
