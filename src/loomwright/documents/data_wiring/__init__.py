"""The Data drawing: who follows whom on each chain, network cables, signal leads."""
