# Every header compiles alone: one source a header that includes nothing else, twice, so that a missing guard shows too.
file(GLOB_RECURSE headers CONFIGURE_DEPENDS ${PROJECT_SOURCE_DIR}/src/*.h)
set(lone_sources "")
foreach(header IN LISTS headers)
  file(RELATIVE_PATH name ${PROJECT_SOURCE_DIR}/src ${header})
  string(REGEX REPLACE "\\.h$" ".cpp" source ${name})
  set(source ${CMAKE_CURRENT_BINARY_DIR}/headers_alone/${source})
  file(CONFIGURE OUTPUT ${source} CONTENT "#include \"${name}\"\n#include \"${name}\"\n" @ONLY)
  list(APPEND lone_sources ${source})
endforeach()

# Not linked with the engine: our headers must do without the headers of other libraries.
add_library(headers_alone OBJECT ${lone_sources})
target_include_directories(headers_alone PRIVATE ${PROJECT_SOURCE_DIR}/src)
target_link_libraries(headers_alone PRIVATE coldbag_flags)
