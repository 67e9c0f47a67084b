"""The data package of a heritage report: one ZIP that an officer can read into any program, with every hash."""

from reports.package.write import PackageFile, write_package

__all__ = ["PackageFile", "write_package"]
