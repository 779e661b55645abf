# SPDX-License-Identifier: Apache-2.0
# Embeds the files of data/ in the base room: an assembler file with .incbin, and a table of names.
file(GLOB GW_DATA_FILES CONFIGURE_DEPENDS RELATIVE ${CMAKE_SOURCE_DIR}/data
     ${CMAKE_SOURCE_DIR}/data/*.csv ${CMAKE_SOURCE_DIR}/data/*.json)
list(SORT GW_DATA_FILES)
set(asm "    .section .rodata\n")
set(table "")
set(externs "")
set(index 0)
foreach(file ${GW_DATA_FILES})
  string(APPEND asm
    "    .global gw_data_${index}\n    .hidden gw_data_${index}\n    .balign 16\n"
    "gw_data_${index}:\n    .incbin \"${CMAKE_SOURCE_DIR}/data/${file}\"\n"
    "    .global gw_data_${index}_end\n    .hidden gw_data_${index}_end\n"
    "gw_data_${index}_end:\n    .byte 0\n")
  string(APPEND externs "extern const char gw_data_${index}[], gw_data_${index}_end[];\n")
  string(APPEND table "    X(\"${file}\", gw_data_${index}, gw_data_${index}_end)\n")
  math(EXPR index "${index} + 1")
endforeach()
string(APPEND asm "    .section .note.GNU-stack,\"\",@progbits\n")
set(GW_GENERATED ${CMAKE_BINARY_DIR}/generated)
file(CONFIGURE OUTPUT ${GW_GENERATED}/builtin_data.S CONTENT "${asm}" @ONLY)
file(CONFIGURE OUTPUT ${GW_GENERATED}/builtin_externs.h CONTENT "${externs}" @ONLY)
file(CONFIGURE OUTPUT ${GW_GENERATED}/builtin_rows.h CONTENT "${table}" @ONLY)
set(GW_DATA_PATHS ${GW_DATA_FILES})
list(TRANSFORM GW_DATA_PATHS PREPEND ${CMAKE_SOURCE_DIR}/data/)
set_source_files_properties(${GW_GENERATED}/builtin_data.S PROPERTIES OBJECT_DEPENDS "${GW_DATA_PATHS}")
