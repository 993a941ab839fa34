/* For tests under Wine 8 alone, never shipped: the one function that Rust asks of a library which Wine 8 lacks and every
   Windows since 8 has. It passes on to the function that Wine has. */
#include <windows.h>
#include <ntsecapi.h>
__declspec(dllexport) BOOL WINAPI ProcessPrng(PBYTE bytes, SIZE_T count) { return RtlGenRandom(bytes, (ULONG)count); }
