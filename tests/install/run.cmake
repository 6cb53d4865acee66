# cmake -DBUILD=... -DWORK=... -DCONSUMER=... -DCOMPILER=... -P run.cmake: fails if any step fails, or if what was
# installed does not work.
function(step)
  execute_process(COMMAND ${ARGN} RESULT_VARIABLE result OUTPUT_VARIABLE output ERROR_VARIABLE output)
  if(NOT result EQUAL 0)
    message(FATAL_ERROR "failed (${result}): ${ARGN}\n${output}")
  endif()
  set(step_output "${output}" PARENT_SCOPE)
endfunction()

function(expect text)
  string(FIND "${step_output}" "${text}" found)
  if(found EQUAL -1)
    message(FATAL_ERROR "'${text}' is missing in:\n${step_output}")
  endif()
endfunction()

file(REMOVE_RECURSE ${WORK})
step(${CMAKE_COMMAND} --install ${BUILD} --prefix ${WORK}/prefix)
step(${WORK}/prefix/bin/loomward --version)
expect("loomward 0.")
foreach(file include/loomward/parser/read.hpp share/doc/loomward/README.md share/doc/loomward/check.schema.json
             share/doc/loomward/examples/market-cart.loom)
  if(NOT EXISTS ${WORK}/prefix/${file})
    message(FATAL_ERROR "${file} was not installed")
  endif()
endforeach()
step(${CMAKE_COMMAND} -G Ninja -S ${CONSUMER} -B ${WORK}/consumer -DCMAKE_PREFIX_PATH=${WORK}/prefix
     -DCMAKE_CXX_COMPILER=${COMPILER} -DSANITIZE=${SANITIZE})
step(${CMAKE_COMMAND} --build ${WORK}/consumer)
step(${WORK}/consumer/consumer)
expect("not a licence: see local codes")
