/* Gives a compiler the same bytes where it asks for random ones, so that a macro that walks over a hash map writes what it
 * makes in the same order each time. Loaded beside the compiler while packages are built (`rustc`), never part of one. */
#include <string.h>
#include <sys/types.h>

ssize_t getrandom(void *bytes, size_t length, unsigned flags) {
    (void)flags;
    memset(bytes, 7, length);
    return (ssize_t)length;
}
