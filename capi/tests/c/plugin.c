/*
 * A plug-in with the adapter of tiny.h.
 *
 *   -DNOTHING        it exports nothing
 *   -DNO_TABLE       it gives no table
 *   -DOTHER_VERSION  it was made for another version
 *   -DNO_ADAPTERS    it has none
 *   -DTWICE          it has two, and both say the same id
 *   -DTWO            it has two
 */
#ifdef NOTHING
int nothing(void);
int nothing(void) { return 0; }
#else
#include "tiny.h"

static int destroyed = 0;

static void destroy(void *user)
{
    (void)user;
    destroyed++;
}

#ifdef TWICE
#define SECOND "plugged"
#else
#define SECOND "plugged-too"
#endif

static const spheresum_adapter adapters[] = {
    {sizeof(spheresum_adapter), "plugged", "tiny files of a plug-in", tiny_look, tiny_read, destroy},
    {sizeof(spheresum_adapter), SECOND, "tiny files once more", tiny_look, tiny_read, destroy},
};

static const spheresum_plugin_table table = {
#ifdef OTHER_VERSION
    SPHERESUM_PLUGIN_VERSION + 1,
#else
    SPHERESUM_PLUGIN_VERSION,
#endif
#if defined(NO_ADAPTERS)
    0,
#elif defined(TWO) || defined(TWICE)
    2,
#else
    1,
#endif
    adapters, &destroyed,
};

const spheresum_plugin_table *spheresum_plugin(void);

const spheresum_plugin_table *spheresum_plugin(void)
{
#ifdef NO_TABLE
    return table.version == 0 ? &table : NULL;
#else
    return &table;
#endif
}
#endif
