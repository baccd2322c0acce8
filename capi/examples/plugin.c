/* The adapter of scanlog.c as a plug-in: build both as a shared library that exports this one function. */
#include "scanlog.h"

#if defined(_WIN32)
#define EXPORT __declspec(dllexport)
#else
#define EXPORT __attribute__((visibility("default")))
#endif

EXPORT const spheresum_plugin_table *spheresum_plugin(void);

EXPORT const spheresum_plugin_table *spheresum_plugin(void)
{
    static const spheresum_plugin_table table = {SPHERESUM_PLUGIN_VERSION, 1, &scanlog, NULL};
    return &table;
}
