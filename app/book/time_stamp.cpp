#include "app/book/time_stamp.h"

#include <openssl/rand.h>
#include <openssl/ts.h>
#include <openssl/x509.h>

#include <QDateTime>
#include <memory>

#include "app/book/keys.h"
#include "app/book/revision.h"
#include "app/book/shape.h"
#include "app/book/text_gate.h"

namespace app::book {

namespace {
template <auto Free>
struct Freed {
  template <class T>
  void operator()(T* pointer) const {
    Free(pointer);
  }
};
template <class T, auto Free>
using Owned = std::unique_ptr<T, Freed<Free>>;
using Request = Owned<TS_REQ, TS_REQ_free>;
using Response = Owned<TS_RESP, TS_RESP_free>;

vision::Error Wrong(const std::string& text) { return vision::BadInput(text); }

template <class T, class Encode>
std::string Der(T* object, Encode encode) {
  unsigned char* bytes = nullptr;
  const int size = encode(object, &bytes);
  const std::string der = size > 0 ? std::string(reinterpret_cast<char*>(bytes), static_cast<std::size_t>(size)) : "";
  OPENSSL_free(bytes);
  return der;
}

/// All of `der`, or nullptr.
template <class Pointer, class Decode>
Pointer FromDer(const std::string& der, Decode decode) {
  const auto* at = reinterpret_cast<const unsigned char*>(der.data());
  const auto* end = at + der.size();
  Pointer object(decode(nullptr, &at, static_cast<long>(der.size())));
  return at == end ? std::move(object) : nullptr;
}

Request RequestOf(const std::string& der) { return FromDer<Request>(der, d2i_TS_REQ); }
Response ResponseOf(const std::string& der) { return FromDer<Response>(der, d2i_TS_RESP); }

/// ISO 8601 UTC in seconds, "" for what is no time.
std::string Iso(const ASN1_GENERALIZEDTIME* time) {
  std::tm parts{};
  if (time == nullptr || ASN1_TIME_to_tm(time, &parts) != 1) return "";
  const QDateTime moment(QDate(parts.tm_year + 1900, parts.tm_mon + 1, parts.tm_mday),
                         QTime(parts.tm_hour, parts.tm_min, parts.tm_sec), Qt::UTC);
  return moment.toString(Qt::ISODate).toStdString();
}

/// The 32 bytes over which the imprint is, in hexadecimal; "" where it is no SHA-256.
std::string Imprint(TS_MSG_IMPRINT* imprint) {
  if (imprint == nullptr) return "";
  const ASN1_OBJECT* algorithm = nullptr;
  X509_ALGOR_get0(&algorithm, nullptr, nullptr, TS_MSG_IMPRINT_get_algo(imprint));
  const ASN1_OCTET_STRING* bytes = TS_MSG_IMPRINT_get_msg(imprint);
  if (OBJ_obj2nid(algorithm) != NID_sha256 || ASN1_STRING_length(bytes) != 32) return "";
  return HexOf(std::string(reinterpret_cast<const char*>(ASN1_STRING_get0_data(bytes)), 32));
}

/// Under the certificate that the stamp carries: nothing in it changed.
bool HoldsUnderItsOwn(PKCS7* token) {
  const Owned<X509_STORE, X509_STORE_free> none(X509_STORE_new());
  const Owned<BIO, BIO_free_all> content(PKCS7_dataInit(token, nullptr));
  return PKCS7_verify(token, nullptr, none.get(), nullptr, nullptr, PKCS7_NOVERIFY) == 1;
}

/// RFC 3161, 2.4.2, under certificates that are trusted, for time stamping, valid when it was stamped.
vision::Status HoldsUnder(const std::string& authority, TS_REQ* request, TS_RESP* response, std::time_t moment) {
  X509_STORE* store = X509_STORE_new();
  const Owned<TS_VERIFY_CTX, TS_VERIFY_CTX_free> context(TS_REQ_to_TS_VERIFY_CTX(request, nullptr));
  if (!context) return X509_STORE_free(store), Wrong("the request cannot be used");
  TS_VERIFY_CTX_add_flags(context.get(), TS_VFY_SIGNATURE);
  TS_VERIFY_CTX_set_store(context.get(), store);  // owned by the context from here
  if (X509_STORE_load_file(store, authority.c_str()) != 1)
    return Wrong(authority + " holds no certificates in PEM form");
  X509_VERIFY_PARAM_set_time(X509_STORE_get0_param(store), moment);
  if (TS_RESP_verify_response(context.get(), response) != 1)
    return Wrong("no certificate in " + authority + " bears out who signed it");
  return std::nullopt;
}

/// What the answer says against what was asked.
std::string AnswerFault(TS_REQ* request, TS_RESP* response, const std::string& signoff) {
  const auto granted = ASN1_INTEGER_get(TS_STATUS_INFO_get0_status(TS_RESP_get_status_info(response)));
  if (granted != TS_STATUS_GRANTED && granted != TS_STATUS_GRANTED_WITH_MODS) return "the authority refused it";
  TS_TST_INFO* info = TS_RESP_get_tst_info(response);
  if (info == nullptr || TS_RESP_get_token(response) == nullptr) return "the answer holds no stamp";
  if (Imprint(TS_REQ_get_msg_imprint(request)) != signoff) return "the request is not over this sign-off";
  if (Imprint(TS_TST_INFO_get_msg_imprint(info)) != signoff) return "it confirms something else";
  const ASN1_INTEGER *asked = TS_REQ_get_nonce(request), *told = TS_TST_INFO_get_nonce(info);
  if (asked == nullptr || told == nullptr || ASN1_INTEGER_cmp(asked, told) != 0) return "it answers another request";
  return "";
}

TimeStamp FromRow(const Row& row) { return {row.Text(0), row.Text(1), row.Text(2), row.Text(3), row.Text(4)}; }
}  // namespace

std::string TimeStamp::ComputeHash() const {
  return HashOfParts({"rootscroll.time/1", signoff, request, response, login});
}

vision::Status TimeOptions::Check() const {
  if (most_bytes < 1) return Wrong("TimeOptions::most_bytes is 0; it must be > 0.");
  if (most_wait_ms < 1) return Wrong("TimeOptions::most_wait_ms must be > 0 ms.");
  return std::nullopt;
}

vision::Result<std::string> TimeRequest(const std::string& sha256_hex) {
  const std::string digest = BytesOf(sha256_hex);
  if (digest.size() != 32) return Wrong("A time stamp is over a SHA-256, 64 small hexadecimal digits.");
  const Request request(TS_REQ_new());
  const Owned<TS_MSG_IMPRINT, TS_MSG_IMPRINT_free> imprint(TS_MSG_IMPRINT_new());
  const Owned<X509_ALGOR, X509_ALGOR_free> algorithm(X509_ALGOR_new());
  const Owned<ASN1_INTEGER, ASN1_INTEGER_free> nonce(ASN1_INTEGER_new());
  std::uint64_t number = 0;
  std::string bytes = digest;
  const bool made = request && imprint && algorithm && nonce &&
                    RAND_bytes(reinterpret_cast<unsigned char*>(&number), sizeof number) == 1 &&
                    ASN1_INTEGER_set_uint64(nonce.get(), number | 1) == 1 &&
                    X509_ALGOR_set0(algorithm.get(), OBJ_nid2obj(NID_sha256), V_ASN1_NULL, nullptr) == 1 &&
                    TS_MSG_IMPRINT_set_algo(imprint.get(), algorithm.get()) == 1 &&
                    TS_MSG_IMPRINT_set_msg(imprint.get(), reinterpret_cast<unsigned char*>(bytes.data()), 32) == 1 &&
                    TS_REQ_set_version(request.get(), 1) == 1 &&
                    TS_REQ_set_msg_imprint(request.get(), imprint.get()) == 1 &&
                    TS_REQ_set_nonce(request.get(), nonce.get()) == 1 && TS_REQ_set_cert_req(request.get(), 1) == 1;
  if (!made) return vision::Error{vision::ErrorCode::kIo, "No time-stamp request could be made."};
  return Der(request.get(), i2d_TS_REQ);
}

vision::Result<std::string> TimeOf(const TimeStamp& stamp, const std::string& authority) {
  const Request request = RequestOf(BytesOf(stamp.request));
  const Response response = ResponseOf(BytesOf(stamp.response));
  if (!request || !response) return Wrong("request and answer are not those of RFC 3161");
  if (const auto fault = AnswerFault(request.get(), response.get(), stamp.signoff); !fault.empty()) return Wrong(fault);
  const std::string moment = Iso(TS_TST_INFO_get_time(TS_RESP_get_tst_info(response.get())));
  const auto time = QDateTime::fromString(QString::fromStdString(moment), Qt::ISODate);
  if (!time.isValid()) return Wrong("it confirms no moment");
  if (!HoldsUnderItsOwn(TS_RESP_get_token(response.get()))) return Wrong("its signature does not hold");
  if (!authority.empty())
    if (auto wrong = HoldsUnder(authority, request.get(), response.get(), time.toSecsSinceEpoch())) return *wrong;
  return moment;
}

vision::Status PutTimeStamp(Book& book, const TimeStamp& stamp) {
  if (const auto time = TimeOf(stamp, ""); !time.ok())
    return Wrong("A time stamp does not hold: " + time.error().message + ".");
  if (auto failed = book.database().Do("INSERT INTO time_stamp VALUES (?, ?, ?, ?, ?)",
                                       {stamp.hash, stamp.signoff, stamp.request, stamp.response, stamp.login}))
    return failed;
  auto stored = book.database().Run("SELECT signoff, request, response, login, hash FROM time_stamp WHERE hash = ?",
                                    {stamp.hash});
  if (!stored.ok()) return stored.error();
  if (stored.value().empty() || FromRow(stored.value().front()).ComputeHash() != stamp.hash)
    return NotAsGiven("time stamp");
  return book.AddToJournal("time", stamp.hash);
}

vision::Result<TimeStamp> StampSignOff(Book& book, const std::string& signoff, const std::string& url,
                                       const TimeOptions& options) {
  auto there = book.database().Run("SELECT hash FROM signoff WHERE hash = ?", {signoff});
  if (!there.ok()) return there.error();
  if (there.value().empty()) return Wrong("The book has no sign-off " + signoff + ".");
  auto request = TimeRequest(signoff);
  if (!request.ok()) return request.error();
  auto answer = AskAuthority(url, request.value(), options);
  if (!answer.ok()) return answer.error();
  TimeStamp stamp{signoff, HexOf(request.value()), HexOf(answer.value()), book.database().login(), ""};
  stamp.hash = stamp.ComputeHash();
  auto transaction = Transaction::Begin(book.database(), TransactionKind::kWrite);
  if (!transaction.ok()) return transaction.error();
  if (auto failed = PutTimeStamp(book, stamp)) return *failed;
  if (auto failed = transaction.value()->Commit()) return *failed;
  return stamp;
}

vision::Result<std::vector<TimeStamp>> TimeStamps(Book& book, const std::optional<std::string>& joint) {
  const std::string columns = "SELECT t.signoff, t.request, t.response, t.login, t.hash FROM time_stamp t";
  auto rows = joint ? book.database().Run(columns +
                                              " JOIN signoff s ON s.hash = t.signoff WHERE s.joint = ? ORDER BY "
                                              "t.hash",
                                          {*joint})
                    : book.database().Run(columns + " ORDER BY t.hash");
  if (!rows.ok()) return rows.error();
  std::vector<TimeStamp> stamps;
  for (const auto& row : rows.value()) stamps.push_back(FromRow(row));
  return stamps;
}

}  // namespace app::book
