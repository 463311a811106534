// A library, but no plugin.
extern "C" __attribute__((visibility("default"))) int some_other_library(void) { return 1; }
