"""The whole flow: a job goes in, a checked plan comes out."""

from turnsketch.pipeline.flow import Planner, plan

__all__ = ["Planner", "plan"]
