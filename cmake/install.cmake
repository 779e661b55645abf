# SPDX-License-Identifier: Apache-2.0
# What is installed and where (GNU folders), the library for other programs, and the Debian packages:
# groundwright (program, page, manual), libgroundwright0 (shared library) and libgroundwright-dev
# (header, static library, examples).
include(GNUInstallDirs)
set(GW_PACKAGING ${CMAKE_SOURCE_DIR}/packaging)

# ---- the library: the public header and nothing else is visible in the shared one
set(GW_LIBRARY_ROOMS base climate fluid soil ground house plant lot loop pipes money job design draw
                     report library)
set(objects "")
foreach(room ${GW_LIBRARY_ROOMS})
  get_target_property(type gw_${room} TYPE)
  if(type STREQUAL "STATIC_LIBRARY")
    list(APPEND objects $<TARGET_OBJECTS:gw_${room}>)
  endif()
endforeach()
file(GENERATE OUTPUT ${CMAKE_BINARY_DIR}/generated/library.c
     CONTENT "// The library is made of the rooms' objects.\ntypedef int gw_nothing;\n")
add_library(groundwright_static STATIC ${CMAKE_BINARY_DIR}/generated/library.c ${objects})
add_library(groundwright_shared SHARED ${CMAKE_BINARY_DIR}/generated/library.c)
target_link_libraries(groundwright_shared PRIVATE
  -Wl,--whole-archive gw_library -Wl,--no-whole-archive)
target_link_options(groundwright_shared PRIVATE
  -Wl,--as-needed -Wl,--gc-sections -Wl,--version-script=${GW_PACKAGING}/groundwright.map)
set_target_properties(groundwright_shared PROPERTIES LINK_DEPENDS ${GW_PACKAGING}/groundwright.map)
set_target_properties(groundwright_static groundwright_shared PROPERTIES
  OUTPUT_NAME groundwright VERSION ${PROJECT_VERSION} SOVERSION ${PROJECT_VERSION_MAJOR}
  PUBLIC_HEADER ${CMAKE_SOURCE_DIR}/include/groundwright.h
  ARCHIVE_OUTPUT_DIRECTORY ${CMAKE_BINARY_DIR} LIBRARY_OUTPUT_DIRECTORY ${CMAKE_BINARY_DIR})
configure_file(${GW_PACKAGING}/groundwright.pc.in ${CMAKE_BINARY_DIR}/generated/groundwright.pc @ONLY)
configure_file(${GW_PACKAGING}/groundwright.service.in
               ${CMAKE_BINARY_DIR}/generated/groundwright.service @ONLY)

install(TARGETS groundwright_shared groundwright_static
        LIBRARY DESTINATION ${CMAKE_INSTALL_LIBDIR} COMPONENT library NAMELINK_COMPONENT dev
        ARCHIVE DESTINATION ${CMAKE_INSTALL_LIBDIR} COMPONENT dev
        PUBLIC_HEADER DESTINATION ${CMAKE_INSTALL_INCLUDEDIR} COMPONENT dev)
install(FILES ${CMAKE_BINARY_DIR}/generated/groundwright.pc
        DESTINATION ${CMAKE_INSTALL_LIBDIR}/pkgconfig COMPONENT dev)
install(DIRECTORY ${CMAKE_SOURCE_DIR}/examples/library
        DESTINATION ${CMAKE_INSTALL_DATAROOTDIR}/doc/libgroundwright-dev/examples COMPONENT dev
        FILES_MATCHING PATTERN "*.c" PATTERN "*.py")

# gw_compress(FILE OUT): without time and name, so that every build gives the same bytes.
function(gw_compress FILE OUT)
  add_custom_command(OUTPUT ${OUT} DEPENDS ${FILE} VERBATIM
    COMMAND sh -c "gzip -9nc \"$1\" >\"$2\"" -- ${FILE} ${OUT})
endfunction()
string(TIMESTAMP GW_DATE "%a, %d %b %Y %H:%M:%S +0000" UTC) # of SOURCE_DATE_EPOCH where it is set
configure_file(${GW_PACKAGING}/changelog.in ${CMAKE_BINARY_DIR}/generated/changelog @ONLY)
gw_compress(${CMAKE_BINARY_DIR}/generated/changelog ${CMAKE_BINARY_DIR}/generated/changelog.gz)
foreach(package program=groundwright library=libgroundwright0 dev=libgroundwright-dev)
  string(REPLACE "=" ";" package ${package})
  list(GET package 0 component)
  list(GET package 1 name)
  install(FILES ${GW_PACKAGING}/copyright ${CMAKE_BINARY_DIR}/generated/changelog.gz
          DESTINATION ${CMAKE_INSTALL_DATAROOTDIR}/doc/${name} COMPONENT ${component})
endforeach()

# ---- the program
set(man ${CMAKE_BINARY_DIR}/generated/groundwright.1.gz)
add_custom_command(OUTPUT ${man} DEPENDS groundwright VERBATIM
  COMMAND sh -c "\"$1\" man | gzip -9n >\"$2\"" -- $<TARGET_FILE:groundwright> ${man})
set(man_page ${CMAKE_BINARY_DIR}/generated/groundwright-page.1.gz)
gw_compress(${GW_PACKAGING}/groundwright-page.1 ${man_page})
add_custom_target(groundwright_man ALL
                  DEPENDS ${man} ${man_page} ${CMAKE_BINARY_DIR}/generated/changelog.gz)
set(doc ${CMAKE_INSTALL_DATAROOTDIR}/doc/groundwright)
install(TARGETS groundwright RUNTIME DESTINATION ${CMAKE_INSTALL_BINDIR} COMPONENT program)
install(PROGRAMS ${GW_PACKAGING}/groundwright-page DESTINATION ${CMAKE_INSTALL_BINDIR}
        COMPONENT program)
install(FILES ${man} ${man_page} DESTINATION ${CMAKE_INSTALL_MANDIR}/man1 COMPONENT program)
install(FILES ${GW_PACKAGING}/groundwright.bash RENAME groundwright COMPONENT program
        DESTINATION ${CMAKE_INSTALL_DATAROOTDIR}/bash-completion/completions)
install(FILES ${GW_PACKAGING}/groundwright.desktop COMPONENT program
        DESTINATION ${CMAKE_INSTALL_DATAROOTDIR}/applications)
install(FILES ${GW_PACKAGING}/groundwright.svg COMPONENT program
        DESTINATION ${CMAKE_INSTALL_DATAROOTDIR}/icons/hicolor/scalable/apps)
install(FILES ${CMAKE_BINARY_DIR}/generated/groundwright.service COMPONENT program
        DESTINATION lib/systemd/user)
install(FILES ${CMAKE_SOURCE_DIR}/README.md DESTINATION ${doc} COMPONENT program)
install(DIRECTORY ${CMAKE_SOURCE_DIR}/docs/ DESTINATION ${doc} COMPONENT program
        FILES_MATCHING PATTERN "*.md" PATTERN "*.json" PATTERN "*.png" PATTERN "*.svg")
install(DIRECTORY ${CMAKE_SOURCE_DIR}/examples DESTINATION ${doc} COMPONENT program
        FILES_MATCHING PATTERN "*.json" PATTERN "*.csv" PATTERN "library" EXCLUDE)

# ---- the Debian packages
set(CPACK_GENERATOR DEB)
set(CPACK_PACKAGE_VENDOR "groundwright contributors")
set(CPACK_PACKAGE_CONTACT "groundwright contributors <contributors@groundwright.invalid>")
set(CPACK_COMPONENTS_ALL program library dev)
set(CPACK_DEB_COMPONENT_INSTALL ON)
set(CPACK_DEBIAN_FILE_NAME DEB-DEFAULT)
set(CPACK_PACKAGING_INSTALL_PREFIX /usr)
set(CPACK_STRIP_FILES ON)
set(CPACK_DEBIAN_PACKAGE_CONTROL_STRICT_PERMISSION ON)
set(CPACK_DEBIAN_PROGRAM_PACKAGE_NAME groundwright)
set(CPACK_DEBIAN_PROGRAM_PACKAGE_SECTION science)
set(CPACK_DEBIAN_PROGRAM_PACKAGE_SHLIBDEPS ON)
set(CPACK_DEBIAN_PROGRAM_PACKAGE_DEPENDS fonts-open-sans)
set(CPACK_DEBIAN_PROGRAM_PACKAGE_RECOMMENDS "gdal-bin, xdg-utils, curl")
set(CPACK_COMPONENT_PROGRAM_DESCRIPTION
"design of ground-source heat pump systems for houses
From one job file: heat loss, hourly loads, the ground loop the lot can take
and how long it must be, pipes and circulator, cost, and what the same house
costs to heat otherwise. A command line, and a page in the browser on this
machine only. A design aid, not a sealed design.")
set(CPACK_DEBIAN_LIBRARY_PACKAGE_NAME libgroundwright0)
set(CPACK_DEBIAN_LIBRARY_PACKAGE_SECTION libs)
set(CPACK_DEBIAN_LIBRARY_PACKAGE_SHLIBDEPS ON)
set(CPACK_DEBIAN_PACKAGE_GENERATE_SHLIBS ON) # of those that have a shared library
set(CPACK_DEBIAN_LIBRARY_PACKAGE_CONTROL_EXTRA ${GW_PACKAGING}/triggers)
set(CPACK_COMPONENT_LIBRARY_DESCRIPTION
"design of ground-source heat pump systems, shared library
What the program groundwright computes, for other programs.")
set(CPACK_DEBIAN_DEV_PACKAGE_NAME libgroundwright-dev)
set(CPACK_DEBIAN_DEV_PACKAGE_SECTION libdevel)
set(CPACK_DEBIAN_DEV_PACKAGE_DEPENDS "libgroundwright0 (= ${PROJECT_VERSION})")
set(CPACK_COMPONENT_DEV_DESCRIPTION
"design of ground-source heat pump systems, for writing programs
Header, static library, pkg-config file, and examples in C and Python.")
include(CPack)
