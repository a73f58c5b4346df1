"""The Plate for CAD programs: what is drawn in mm, the layers it lies on, and the DXF file that holds it."""
