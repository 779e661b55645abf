# SPDX-License-Identifier: Apache-2.0
# One set of flags for every target of the project. Foreign headers come in as system headers.
add_library(gw_flags INTERFACE)
target_compile_options(gw_flags INTERFACE
  -Wall -Wextra -Wpedantic -Wconversion -Wsign-conversion -Wshadow -Wdouble-promotion
  -Wfloat-conversion -Wstrict-prototypes -Wmissing-prototypes -Wcast-qual -Wwrite-strings -Wundef
  -Wvla -Wformat=2 -Wnull-dereference -Werror
  # The same job gives the same bytes: no fused multiply-add, no reordered sums.
  -ffp-contract=off -fno-math-errno
  # The same sources give the same program wherever they lie.
  -ffile-prefix-map=${CMAKE_SOURCE_DIR}=. -ffile-prefix-map=${CMAKE_BINARY_DIR}=build)
if(CMAKE_C_COMPILER_ID STREQUAL "GNU")
  target_compile_options(gw_flags INTERFACE -Wlogical-op -Wduplicated-cond -Wduplicated-branches)
  # gcc 12 follows impossible paths through inlined arena code and reports null dereferences there.
  target_compile_options(gw_flags INTERFACE $<$<CONFIG:Release>:-Wno-null-dereference>)
endif()
target_compile_definitions(gw_flags INTERFACE _XOPEN_SOURCE=700)
if(GW_SANITIZE)
  target_compile_options(gw_flags INTERFACE -fsanitize=address,undefined -fno-omit-frame-pointer
                                            -fno-sanitize-recover=undefined)
  target_link_options(gw_flags INTERFACE -fsanitize=address,undefined)
endif()
if(GW_FUZZ)
  # Loops that are asked to be vectorized cannot be, with the sanitizers in them.
  target_compile_options(gw_flags INTERFACE -Wno-pass-failed
                                            -fsanitize=fuzzer-no-link,address,undefined -gline-tables-only
                                            -fno-omit-frame-pointer -fno-sanitize-recover=undefined)
  target_link_options(gw_flags INTERFACE -fsanitize=fuzzer-no-link,address,undefined)
endif()
set(CMAKE_C_FLAGS_RELEASE "-O2")  # assertions stay on: they are cheap here
set(CMAKE_C_FLAGS_DEBUG "-O1 -g")

add_library(gw_udunits2 INTERFACE)
target_include_directories(gw_udunits2 SYSTEM INTERFACE ${UDUNITS2_INCLUDE})
target_link_libraries(gw_udunits2 INTERFACE ${UDUNITS2_LIBRARY})

add_library(gw_geos INTERFACE)
target_include_directories(gw_geos SYSTEM INTERFACE ${GEOS_INCLUDE})
target_compile_definitions(gw_geos INTERFACE GEOS_USE_ONLY_R_API)
target_link_libraries(gw_geos INTERFACE ${GEOS_LIBRARY})
