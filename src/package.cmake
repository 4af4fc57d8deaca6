# Debian packages by CPack: `cpack -G DEB` in the build folder makes tymbal (program, material table, manual, completions,
# examples), libtymbal-dev (library, headers, package files) and, with TYMBAL_PYTHON, python3-tymbal.
set(CPACK_GENERATOR DEB)
set(CPACK_PACKAGE_CONTACT "tymbal authors <authors@tymbal.invalid>")
set(CPACK_PACKAGE_DESCRIPTION_SUMMARY "${PROJECT_DESCRIPTION}")
set(CPACK_PACKAGING_INSTALL_PREFIX /usr)
set(CPACK_STRIP_FILES ON)
set(CPACK_COMPONENTS_ALL program development)
set(CPACK_DEB_COMPONENT_INSTALL ON)
set(CPACK_DEBIAN_FILE_NAME DEB-DEFAULT)
set(CPACK_DEBIAN_PACKAGE_SECTION science)
set(CPACK_DEBIAN_PACKAGE_SHLIBDEPS ON)
set(CPACK_DEBIAN_PROGRAM_PACKAGE_NAME tymbal)
set(CPACK_DEBIAN_DEVELOPMENT_PACKAGE_NAME libtymbal-dev)
set(CPACK_DEBIAN_DEVELOPMENT_PACKAGE_SHLIBDEPS OFF)
# The material table that tymbal_MATERIALS_DIR names is the program's.
set(CPACK_DEBIAN_DEVELOPMENT_PACKAGE_DEPENDS
    "libeigen3-dev, libnlopt-dev, nettle-dev, libpolyclipping-dev, libsqlite3-dev, tymbal (= ${PROJECT_VERSION})")
if(TYMBAL_PYTHON)
    list(APPEND CPACK_COMPONENTS_ALL python)
    set(CPACK_DEBIAN_PYTHON_PACKAGE_NAME python3-tymbal)
    set(CPACK_DEBIAN_PYTHON_PACKAGE_SECTION python)
    # The extension is for this Python alone; the material table is the program's.
    set(CPACK_DEBIAN_PYTHON_PACKAGE_DEPENDS "python3 (>= ${TYMBAL_PYTHON_SERIES}), python3 (<< ${TYMBAL_PYTHON_NEXT}), python3-numpy, tymbal (= ${PROJECT_VERSION})")
    set(CPACK_DEBIAN_PYTHON_PACKAGE_SUGGESTS "python3-matplotlib, python3-pandas")
endif()
include(CPack)
