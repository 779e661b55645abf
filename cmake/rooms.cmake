# SPDX-License-Identifier: Apache-2.0
# gw_room(NAME DEPS rooms… FOREIGN libraries…): the static library gw_NAME from src/NAME/*.c.
# A room links only what the table in the main CMakeLists allows, so that a forbidden call is an
# undefined symbol in the room's own test program.
function(gw_room NAME)
  cmake_parse_arguments(ROOM "" "" "DEPS;FOREIGN" ${ARGN})
  file(GLOB sources CONFIGURE_DEPENDS ${CMAKE_SOURCE_DIR}/src/${NAME}/*.c)
  if(NOT sources)
    add_library(gw_${NAME} INTERFACE)
    set(scope INTERFACE)
  else()
    add_library(gw_${NAME} STATIC ${sources})
    set(scope PUBLIC)
    target_link_libraries(gw_${NAME} PRIVATE gw_flags)
  endif()
  target_include_directories(gw_${NAME} ${scope} ${CMAKE_SOURCE_DIR}/src)
  foreach(dep ${ROOM_DEPS})
    target_link_libraries(gw_${NAME} ${scope} gw_${dep})
  endforeach()
  foreach(lib ${ROOM_FOREIGN})
    target_link_libraries(gw_${NAME} ${scope} ${lib})
  endforeach()
endfunction()
