#include "render/text/checksum.hpp"

#include <glib.h>

#include <memory>

namespace loomward {

std::string sha256_text(std::string_view bytes) {
    const std::unique_ptr<gchar, decltype(&g_free)> text(
        g_compute_checksum_for_data(G_CHECKSUM_SHA256, reinterpret_cast<const guchar*>(bytes.data()),
                                    bytes.size()),
        &g_free);
    return text.get();
}

}  // namespace loomward
