# Run by ctest: install, configure, build and use. Each step must succeed and say what it should.
function(step what)
  execute_process(COMMAND ${ARGN} RESULT_VARIABLE status OUTPUT_VARIABLE out ERROR_VARIABLE err)
  if(NOT status EQUAL 0)
    message(FATAL_ERROR "${what}: status ${status}\n${out}\n${err}")
  endif()
  set(said "${out}" PARENT_SCOPE)
endfunction()
function(must_say what)
  foreach(words ${ARGN})
    string(FIND "${said}" "${words}" at)
    if(at EQUAL -1)
      message(FATAL_ERROR "${what}: does not say \"${words}\" but\n${said}")
    endif()
  endforeach()
endfunction()

file(REMOVE_RECURSE ${WORK})
set(prefix ${WORK}/prefix)
step("install" ${CMAKE_COMMAND} --install ${BUILD} --prefix ${prefix})

# No header of the installed tree may ask for a library that a plugin's author does not need.
file(GLOB headers ${prefix}/include/leafhunger/*.h ${prefix}/include/leafhunger/*.hpp)
list(LENGTH headers n)
if(n LESS 20)
  message(FATAL_ERROR "only ${n} headers were installed")
endif()

set(flags "")
if(SANITIZE)
  set(flags "-fsanitize=${SANITIZE}")
endif()
step("configure" ${CMAKE_COMMAND} -S ${SOURCE}/tests/install/consumer -B ${WORK}/build -G ${GENERATOR} -DCMAKE_PREFIX_PATH=${prefix}
  -DCMAKE_CXX_COMPILER=${COMPILER} -DCMAKE_C_COMPILER=${C_COMPILER} "-DCMAKE_CXX_FLAGS=${flags}" "-DCMAKE_C_FLAGS=${flags}" -DCMAKE_BUILD_TYPE=Release)
step("build" ${CMAKE_COMMAND} --build ${WORK}/build)

# The program finds what was installed and what it built itself, and runs a garden with both.
step("run the consumer's program" ${WORK}/build/ask ${WORK}/build/plugins ${SOURCE}/scenarios/one-bed.json)
must_say("the consumer's program" "herbaceous" "organic-two-pool" "soluble-salt" "outside-salt" "outside-c-salt" "Bananas" "ledger closes")

# The installed command finds its own plugins and catalogue, with no help from the environment.
step("run the installed command" ${CMAKE_COMMAND} -E env --unset=LEAFHUNGER_PLUGIN_PATH --unset=LEAFHUNGER_CATALOGUE
  ${prefix}/bin/leafhunger season ${SOURCE}/scenarios/one-bed.json)
must_say("the installed command" "One bed" "Bananas")
step("list plugins" ${prefix}/bin/leafhunger --plugins ${WORK}/build/plugins plugins)
must_say("list plugins" "outside-salt" "outside-c-salt" "herbaceous" "${prefix}/lib/leafhunger/plugins")
