// The fuzzing target (LOOMWARD_FUZZ): libFuzzer gives texts, changed token by token, and whatever crashes,
// stalls, leaks or is undefined is found by the sanitizers. Inputs that were found live in tests/fuzz/found.
#include <cstdint>
#include <cstdio>
#include <cstdlib>
#include <cstring>
#include <string>

#include "tests/fuzz/round.hpp"
#include "tests/fuzz/token_mutation.hpp"

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    const fuzz::Round round = fuzz::go_round(std::string(reinterpret_cast<const char*>(data), size));
    if (!round.trouble.empty()) {
        std::fprintf(stderr, "%s\n", round.trouble.c_str());
        std::abort();
    }
    return 0;
}

extern "C" std::size_t LLVMFuzzerCustomMutator(std::uint8_t* data, std::size_t size, std::size_t most,
                                               unsigned seed) {
    const std::string text = fuzz::mutated(std::string(reinterpret_cast<const char*>(data), size), seed);
    const std::size_t length = text.size() < most ? text.size() : most;
    std::memcpy(data, text.data(), length);
    return length;
}
