// The lines that say what to do first fit a small terminal, and say no more than is known.
#include <catch2/catch.hpp>
#include <filesystem>
#include <sstream>

#include "render/text/characters.hpp"
#include "render/text/phrases.hpp"
#include "render/text/text_digest.hpp"
#include "tests/render/harness_files.hpp"

namespace text_digest_test {

using namespace loomward;

TEST_CASE("on every example what to do first takes at most 12 lines of 100 columns, in brief two") {
    for (const auto& entry : std::filesystem::directory_iterator(LOOMWARD_SOURCE_DIR "/examples")) {
        if (entry.path().extension() != ".loom") continue;
        INFO(entry.path());
        const Results results = files::results_of_file(entry.path().string());
        const Digest digest = digest_of(results);
        for (const bool brief : {false, true}) {
            const std::string text = digest_text(results, digest, brief, false);
            std::istringstream lines(text);
            std::size_t count = 0;
            for (std::string line; std::getline(lines, line); ++count)
                CHECK(display_width(line) <= text_columns);
            CHECK(count <= (brief ? 3 : 12));
            CHECK(text.find("safe") == std::string::npos);
        }
        CHECK(digest_text(results, digest, false, false) ==
              digest_text(results, digest_of(results), false, false));
    }
}

TEST_CASE("the cart with mistakes is not to be switched on, and says where to start") {
    const Results results =
        files::results_of_file(std::string(LOOMWARD_SOURCE_DIR) + "/examples/market-cart-mistakes.loom");
    const Digest digest = digest_of(results);
    const std::string text = digest_text(results, digest, false, false);
    CHECK(text.starts_with("NOTHING CAN BE SAID about mode precharge: mend that first\nDO NOT SWITCH ON: "));
    CHECK(text.find("\nbefore the pack is connected, mend\n") != std::string::npos);
    for (const char* planted : {"  W57 ", "  F4 ", "  F5 "}) CHECK(text.find(planted) != std::string::npos);
    CHECK(start_text(results, digest).starts_with("start with "));
}

}  // namespace text_digest_test
