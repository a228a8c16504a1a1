# vision as a CMake package of its own: find_package(rootscroll) and link rootscroll::vision_reading.
include(CMakePackageConfigHelpers)
include(GNUInstallDirs)
set(package_dir ${CMAKE_INSTALL_LIBDIR}/cmake/rootscroll)
set(rooms "")
foreach(room base statistics network study bore camera recording pose unroll evidence resolve track bead relief match surface tint scan reading)
  if(TARGET vision_${room})
    list(APPEND rooms vision_${room})
  endif()
endforeach()
install(TARGETS ${rooms} EXPORT rootscrollTargets COMPONENT vision ARCHIVE DESTINATION ${CMAKE_INSTALL_LIBDIR})
install(EXPORT rootscrollTargets NAMESPACE rootscroll:: DESTINATION ${package_dir} COMPONENT vision)
install(DIRECTORY ${CMAKE_CURRENT_SOURCE_DIR} DESTINATION include/rootscroll COMPONENT vision
        FILES_MATCHING PATTERN "*.h")
install(FILES reading/reading.schema.json DESTINATION ${CMAKE_INSTALL_DATADIR}/rootscroll COMPONENT vision)
configure_package_config_file(rootscrollConfig.cmake.in ${CMAKE_CURRENT_BINARY_DIR}/rootscrollConfig.cmake
                              INSTALL_DESTINATION ${package_dir})
write_basic_package_version_file(${CMAKE_CURRENT_BINARY_DIR}/rootscrollConfigVersion.cmake
                                 COMPATIBILITY SameMinorVersion)
install(FILES ${CMAKE_CURRENT_BINARY_DIR}/rootscrollConfig.cmake ${CMAKE_CURRENT_BINARY_DIR}/rootscrollConfigVersion.cmake
        DESTINATION ${package_dir} COMPONENT vision)
