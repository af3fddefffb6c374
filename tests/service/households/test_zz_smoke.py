import sys; sys.path.insert(0,"/work/main")
def test_smoke(client, scheme, database):
    a=client("administrator",scheme)
    r=a.post("/api/v1/households",json={"reference":"H-1","member_name":"Ada Fell","nation":"england"},headers={"Idempotency-Key":"k1"})
    print(r.status_code,r.json,r.headers.get("ETag"))
    hid=r.json["id"]
    H=f"/api/v1/households/{hid}"
    r=a.post(H+"/outlets",json={"label":"garage","kind":"socket_13a","limit_a":10}); print(r.status_code,r.json,r.headers.get("ETag")); oid=r.json["id"]
    r=a.post(H+"/leads",json={"label":"lead","kind":"mode_2","rated_a":10,"set_a":10}); print(r.status_code,r.json); lid=r.json["id"]
    r=a.post(H+"/circuits",json={"label":"c","runs":[{"kind":"board"},{"kind":"radial","length_m":14.5}]}); print(r.status_code,r.json)
    m=client("member",scheme,hid)
    r=m.post(H+"/vehicles",json={"label":"v","battery_kwh":52.5,"miles_per_kwh":3.7,"onboard_limit_a":32,"outlet_id":oid,"lead_id":lid}); print(r.status_code,r.json); vid=r.json["id"]
    V=H+"/vehicles/"+vid
    r=m.get(V+"/routine"); print(r.status_code,r.json,r.headers["ETag"])
    r=m.put(V+"/routine",json={"departures":[{"weekday":0,"leaves_at":"07:30","returns_at":"17:45","miles":"42"}]},headers={"If-Match":r.headers["ETag"]}); print(r.status_code,r.json,r.headers.get("ETag"))
    r=m.get(V+"/state_of_charge"); print(r.status_code,r.json,r.headers["ETag"])
    r=m.put(V+"/state_of_charge",json={"percent":55},headers={"If-Match":r.headers["ETag"]}); print(r.status_code,r.json,r.headers.get("ETag"))
    r=m.post(V+"/journeys",json={"leaves_at":"2026-11-27T08:00:00Z","returns_at":"2026-11-27T18:00:00Z","miles":"100"}); print(r.status_code,r.json,r.headers.get("ETag"))
    r=a.post(H+"/inspections",json={"outlet_id":oid,"inspected_on":"2026-11-01","next_due_on":"2031-11-01","certificate_number":"1","electrician":"e","observations":[{"code":"C2","note":"x"}]}); print(r.status_code,r.json); iid=r.json["id"]
    r=a.post(H+f"/inspections/{iid}/observations/0/closure",json={"closed_on":"2026-11-20"}); print(r.status_code,r.json)
    r=m.get(H); print(r.status_code,r.json,r.headers["ETag"])
    r=a.patch(H,json={"region":"North"},headers={"If-Match":r.headers["ETag"]}); print(r.status_code,r.headers.get("ETag"))
    r=a.get(H+"/supply"); print(r.status_code,r.json,r.headers["ETag"])
    r=a.put(H+"/supply",json={"fuse_a":80},headers={"If-Match":r.headers["ETag"]}); print(r.status_code,r.json,r.headers.get("ETag"))
    r=a.get("/api/v1/openapi.json"); d=r.json
    print([k for k in d["components"]["schemas"]])
    print(list(d["paths"]["/api/v1/households"]), list(d["paths"]["/api/v1/households/{household_id}"]))
