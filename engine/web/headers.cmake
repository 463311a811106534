# The web build takes Boost's and nlohmann's headers from Debian, and them alone: the rest of /usr/include is for another machine.
# Sets Boost::headers and nlohmann_json::nlohmann_json as find_package does, and Threads::Threads, of which there are none.
function(leafhunger_header_library target folder file)
  find_path(found_${folder} ${file} PATHS /usr/include /usr/local/include NO_DEFAULT_PATH NO_CMAKE_FIND_ROOT_PATH REQUIRED)
  set(place ${PROJECT_BINARY_DIR}/headers)
  file(MAKE_DIRECTORY ${place})
  file(CREATE_LINK ${found_${folder}}/${folder} ${place}/${folder} SYMBOLIC)
  add_library(${target} INTERFACE IMPORTED GLOBAL)
  target_include_directories(${target} SYSTEM INTERFACE ${place})
endfunction()
leafhunger_header_library(Boost::headers boost boost/version.hpp)
leafhunger_header_library(nlohmann_json::nlohmann_json nlohmann nlohmann/json.hpp)
add_library(Threads::Threads INTERFACE IMPORTED GLOBAL)
