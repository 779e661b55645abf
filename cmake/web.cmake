# SPDX-License-Identifier: Apache-2.0
# Embeds the built page (every file of web/dist, when that folder is there) and the example jobs in
# the serve room: one assembler file with .incbin, and two tables of names.
set(GW_WEB_ASM "    .section .rodata\n")
set(GW_WEB_EXTERNS "")
set(GW_WEB_PATHS "")
set(GW_WEB_INDEX 0)

# gw_embed_files(FOLDER ROWS files…): adds them, and leaves the rows X(name, begin, end) in ROWS.
function(gw_embed_files FOLDER ROWS)
  set(rows "")
  foreach(file ${ARGN})
    if(NOT file MATCHES "^[A-Za-z0-9._/-]+$")
      message(FATAL_ERROR "${FOLDER}/${file}: a file to embed has only A-Z a-z 0-9 . _ - in its name")
    endif()
    set(label "gw_web_${GW_WEB_INDEX}")
    string(APPEND GW_WEB_ASM
      "    .global ${label}\n    .hidden ${label}\n    .balign 16\n"
      "${label}:\n    .incbin \"${FOLDER}/${file}\"\n"
      "    .global ${label}_end\n    .hidden ${label}_end\n"
      "${label}_end:\n    .byte 0\n")
    string(APPEND GW_WEB_EXTERNS "extern const char ${label}[], ${label}_end[];\n")
    string(APPEND rows "    X(\"${file}\", ${label}, ${label}_end)\n")
    list(APPEND GW_WEB_PATHS "${FOLDER}/${file}")
    math(EXPR GW_WEB_INDEX "${GW_WEB_INDEX} + 1")
  endforeach()
  set(${ROWS} "${rows}" PARENT_SCOPE)
  foreach(name GW_WEB_ASM GW_WEB_EXTERNS GW_WEB_PATHS GW_WEB_INDEX)
    set(${name} "${${name}}" PARENT_SCOPE)
  endforeach()
endfunction()

set(GW_WEB_DIST ${CMAKE_SOURCE_DIR}/web/dist)
file(GLOB_RECURSE page_files CONFIGURE_DEPENDS RELATIVE ${GW_WEB_DIST} ${GW_WEB_DIST}/*)
list(FILTER page_files EXCLUDE REGEX "(^|/)\\.")
list(SORT page_files)
gw_embed_files(${GW_WEB_DIST} page_rows ${page_files})

file(GLOB example_files CONFIGURE_DEPENDS RELATIVE ${CMAKE_SOURCE_DIR}/examples
     ${CMAKE_SOURCE_DIR}/examples/*.json)
list(SORT example_files)
gw_embed_files(${CMAKE_SOURCE_DIR}/examples example_rows ${example_files})

string(APPEND GW_WEB_ASM "    .section .note.GNU-stack,\"\",@progbits\n")
file(CONFIGURE OUTPUT ${GW_GENERATED}/web_data.S CONTENT "${GW_WEB_ASM}" @ONLY)
file(CONFIGURE OUTPUT ${GW_GENERATED}/web_externs.h CONTENT "${GW_WEB_EXTERNS}" @ONLY)
file(CONFIGURE OUTPUT ${GW_GENERATED}/web_pages.h CONTENT "${page_rows}" @ONLY)
file(CONFIGURE OUTPUT ${GW_GENERATED}/web_examples.h CONTENT "${example_rows}" @ONLY)
set_source_files_properties(${GW_GENERATED}/web_data.S PROPERTIES OBJECT_DEPENDS "${GW_WEB_PATHS}")

target_sources(gw_serve PRIVATE ${GW_GENERATED}/web_data.S)
target_include_directories(gw_serve PRIVATE ${GW_GENERATED})
