"""Who carries out many small tasks: processes of this machine, or the workers of a cluster."""

from controlkit.executors.cluster import Cluster, cluster
from controlkit.executors.processes import SetApart, carry_out

__all__ = ["Cluster", "SetApart", "carry_out", "cluster"]
