"""DICOM at the edge: the only place that knows the standard's attributes."""
