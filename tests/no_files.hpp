// A reader of files for texts that use none.
#pragma once
#include <optional>
#include <string>
#include <vector>

#include "parser/text/files.hpp"

namespace loomward::testing {

class NoFiles final : public FileReader {
  public:
    std::optional<std::string> read(const std::string&) override { return std::nullopt; }
    std::vector<std::string> beside(const std::string&) override { return {}; }
};

}  // namespace loomward::testing
