"""Documents saved by Calc under another name or as another kind of file: see serving.py."""

import uno
from com.sun.star.uno import Exception as CalcFault
from over_uno import option


def do(desktop, files, filter_name, filter_options):
    """Save each source as its target; what Calc said of those that it could not, by source."""
    options = (option("FilterName", filter_name), option("FilterOptions", filter_options))
    return {
        source: fault
        for source, target in files
        if (fault := saved(desktop, source, target, options))
    }


def saved(desktop, source, target, options):
    """Empty, or what was wrong."""
    url = uno.systemPathToFileUrl(source)
    try:
        document = desktop.loadComponentFromURL(url, "_blank", 0, (option("Hidden", True),))
        if document is None:
            return "it opened nothing"
        document.storeToURL(uno.systemPathToFileUrl(target), options)
        document.close(True)
    except CalcFault as fault:
        return f"{type(fault).__name__}: {fault.Message}"
    return ""
