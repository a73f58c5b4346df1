"""The plan as a workbook, a sheet for each job."""
