#pragma once

#include <optional>
#include <string>
#include <vector>

#include "app/book/book.h"

/// Trusted time (RFC 3161), where a shop wants it: a time-stamping authority confirms that a sign-off was there at a
/// moment. Request and answer are kept beside the sign-off as they were sent, so that anybody can check them with other
/// programs. The machine's own clock stays what sign-offs state; nothing needs an authority.
namespace app::book {

struct TimeStamp {
  std::string signoff;            ///< Hash of the sign-off: the SHA-256 that was stamped.
  std::string request, response;  ///< DER, as hexadecimal text.
  std::string login;
  std::string hash;  ///< Filled in by ComputeHash.

  std::string ComputeHash() const;
};

/// Longest answer taken, and how long is waited for it.
struct TimeOptions {
  std::size_t most_bytes = 1u << 16;  ///< > 0
  int most_wait_ms = 20000;           ///< > 0
  [[nodiscard]] vision::Status Check() const;
};

/// DER of a request over a SHA-256 with a nonce; the authority's certificate is asked for.
vision::Result<std::string> TimeRequest(const std::string& sha256_hex);

/// What the authority at `url` (http or https) answers to the request; redirections are not followed.
vision::Result<std::string> AskAuthority(const std::string& url, const std::string& request,
                                         const TimeOptions& options = {});

/// The moment a stamp confirms, ISO 8601 UTC, or what is wrong with it.
/// @param authority PEM file of certificates that are trusted; "": the signature is held against the certificate it
///   carries alone, which tells that nothing changed but not who signed.
vision::Result<std::string> TimeOf(const TimeStamp& stamp, const std::string& authority);

/// Asks for a stamp on a sign-off of the book and keeps it. @return kBadInput, kIo: nothing was kept.
vision::Result<TimeStamp> StampSignOff(Book& book, const std::string& signoff, const std::string& url,
                                       const TimeOptions& options = {});

/// As it comes from elsewhere; inside a transaction. Checked, read back and compared.
vision::Status PutTimeStamp(Book& book, const TimeStamp& stamp);

/// All of the book, or of one joint's sign-offs.
vision::Result<std::vector<TimeStamp>> TimeStamps(Book& book, const std::optional<std::string>& joint = {});

}  // namespace app::book
