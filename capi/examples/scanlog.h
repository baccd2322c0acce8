/* An adapter in C for an invented text format, which adapter.c adds by hand and plugin.c exports. */
#ifndef SCANLOG_H
#define SCANLOG_H

#include <spheresum.h>

/* The table of the adapter. It has no data of its own: hand NULL to its functions. */
extern const spheresum_adapter scanlog;

#endif
