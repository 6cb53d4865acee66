// Checksums, so that a paper and the file it was made from can be told to belong together.
#pragma once
#include <string>
#include <string_view>

namespace loomward {

// SHA-256 of `bytes`, 64 digits of base 16.
std::string sha256_text(std::string_view bytes);

}  // namespace loomward
